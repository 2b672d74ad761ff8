"""What the page for watching computes: its clock, its lists, its words. Pure modules, run in the
browser that will run them."""

import json
import random
from pathlib import Path

import pytest

CLOCK = """async (words) => {
  const { RunClock } = await import("/static/js/watching/run_clock.js");
  const clock = new RunClock();
  return words.map(([kind, ...numbers]) => clock[kind](...numbers) ?? null);
}"""
GROUPS = """async ([data, run]) => {
  const { claimGroups, noneDue, tally } = await import("/static/js/watching/claims_view.js");
  const groups = claimGroups(data, run);
  return {
    tally: tally(data, run),
    noneDue: noneDue(data),
    groups: Object.fromEntries(groups.map(({ group, rows }) => [group, rows.map((r) => r.key)])),
  };
}"""
AGAINST = """async ([data, run]) => {
  const { claimGroups } = await import("/static/js/watching/claims_view.js");
  const rows = claimGroups(data, run).flatMap((each) => each.rows);
  return Object.fromEntries(rows.map(({ key, against }) => [key, against]));
}"""
LINK = """async (cases) => {
  const { linkView } = await import("/static/js/watching/watch_view.js");
  return cases.map((each) => linkView({
    feed: "live", status: "running", silentMs: 0, lastKnownMs: 28_400, openMs: 60_000, unsent: 0,
    isKept: true, ...each,
  }));
}"""
PLACES = """async (cases) => {
  const { segmentAt } = await import("/static/js/watching/remark_place.js");
  return cases.map(({ elapsed_ms, ends_ms, total_ms }) => segmentAt(elapsed_ms, ends_ms, total_ms));
}"""
LINES = """async ([data, run]) => {
  const { remarkLines } = await import("/static/js/watching/watch_view.js");
  return remarkLines(data, run).map(({ at, segment, words }) => [at, segment, words]);
}"""
POINTS = """async (cases) => {
  const { pointsFault, readPoints } = await import("/static/js/watching/watch_view.js");
  return cases.map(([text, most]) => pointsFault(text, most) ?? readPoints(text));
}"""
CALLS = """async (cases) => {
  const { callWords } = await import("/static/js/watching/watch_view.js");
  const rules = { slot_s: 600, time_calls: [{ at_s: 300, words: "Five minutes left" }] };
  return cases.map((elapsed) => callWords(rules, elapsed));
}"""

SERVER_MS = 1_790_000_000_000


@pytest.fixture
def page(modules_page):
    return modules_page


def last(page, *words):
    return page.evaluate(CLOCK, words)[-1]


def test_nothing_is_known_of_the_clock_before_it_is_sighted_and_the_server_heard(page):
    assert last(page, ["elapsedAt", 5]) is None
    assert last(page, ["heard", SERVER_MS, 5], ["elapsedAt", 5]) is None
    assert last(page, ["sighted", 1000, SERVER_MS], ["elapsedAt", 5]) is None


def test_the_clock_goes_on_evenly_between_sightings(page):
    known = [["sighted", 10_000, SERVER_MS], ["heard", SERVER_MS, 400]]
    assert last(page, *known, ["elapsedAt", 400]) == 10_000
    assert last(page, *known, ["elapsedAt", 5400]) == 15_000
    assert last(page, *known, ["silentAt", 5400]) == 5000


def test_of_words_that_travelled_a_while_the_quickest_is_believed(page):
    # The true clock: elapsed = server time - SERVER_MS, server time = even clock + SERVER_MS.
    rng = random.Random(7)
    words = []
    for second in range(0, 50, 2):
        true_ms = second * 1000
        way_there_ms, way_back_ms = rng.uniform(2, 400), rng.uniform(2, 400)
        words.append(["sighted", true_ms, SERVER_MS + true_ms + way_there_ms])
        words.append(
            ["heard", SERVER_MS + true_ms + way_there_ms, true_ms + way_there_ms + way_back_ms]
        )
    error_ms = abs(last(page, *words, ["elapsedAt", 60_000]) - 60_000)
    assert error_ms < 80


def test_a_mark_that_arrives_minutes_late_does_not_move_the_clock(page):
    known = [["sighted", 10_000, SERVER_MS + 10_000], ["heard", SERVER_MS + 10_000, 10_000]]
    late = ["sighted", 11_000, SERVER_MS + 40_000]
    assert last(page, *known, late, ["elapsedAt", 40_000]) == 40_000


def test_what_is_older_than_a_minute_is_no_longer_believed(page):
    # The presenter's clock slept for five seconds: what was known before is wrong.
    known = [["sighted", 10_000, SERVER_MS + 5000], ["heard", SERVER_MS + 5000, 5000]]
    later = [["sighted", 70_000, SERVER_MS + 70_000], ["heard", SERVER_MS + 70_000, 70_000]]
    assert last(page, *known, *later, ["elapsedAt", 70_000]) == 70_000


def test_after_sleep_the_clock_stands_by_as_much_further_until_the_server_is_heard(page):
    known = [["sighted", 10_000, SERVER_MS], ["heard", SERVER_MS, 400]]
    slept = ["slept", 50_000, 900]
    assert last(page, *known, slept, ["elapsedAt", 900]) == 60_500
    assert last(page, *known, slept, ["elapsedAt", 2900]) == 62_500
    again = ["heard", SERVER_MS + 55_000, 3000]
    assert last(page, *known, slept, again, ["elapsedAt", 3000]) == 65_000


def test_what_was_last_known_of_the_run_stays_though_time_passes(page):
    known = [["sighted", 10_000, SERVER_MS], ["heard", SERVER_MS, 400], ["slept", 50_000, 900]]
    assert last(page, ["lastKnown"]) is None
    assert last(page, *known, ["lastKnown"]) == 10_000


def claim(key, *segment_ids):
    return {"key": key, "label": key, "drink": None, "segment_ids": list(segment_ids)}


DATA = {
    "segments": [{"id": each, "name": each} for each in ("s1", "s2", "s3")],
    "claims": [
        claim("first", "s1"),
        claim("often", "s1", "s3"),
        claim("now", "s2"),
        claim("last", "s3"),
        claim("never"),
    ],
}


def run_at(current, *ticked, status="running"):
    claims = [{"claim": key, "verdict": verdict, "id": key, "who": ""} for key, verdict in ticked]
    return {"current": current, "status": status, "claims": claims}


@pytest.mark.parametrize(
    ("run", "now", "open_", "later", "ticked"),
    [
        (run_at(0), ["first", "often"], ["never"], ["now", "last"], []),
        (run_at(1), ["now"], ["first", "never"], ["often", "last"], []),
        (run_at(1, ("now", "heard")), ["now"], ["first", "never"], ["often", "last"], []),
        (run_at(1, ("first", "heard")), ["now"], ["never"], ["often", "last"], ["first"]),
        (
            run_at(None, ("last", "wrong"), status="finished"),
            [], ["first", "often", "now", "never"], [], ["last"],
        ),
    ],
    ids=["first segment", "second", "ticked now", "ticked before", "over"],
)  # fmt: skip
def test_claims_are_due_now_open_later_or_ticked(page, run, now, open_, later, ticked):
    found = page.evaluate(GROUPS, [DATA, run])["groups"]
    assert found == {"now": now, "open": open_, "later": later, "ticked": ticked}


def test_the_tally_counts_what_the_ledger_asks_for(page):
    run = run_at(1, ("first", "heard"), ("now", "heard"), ("last", "wrong"), ("foreign", "heard"))
    assert page.evaluate(GROUPS, [DATA, run])["tally"] == "3 of 5: 2 heard, 1 said wrong"


def test_who_is_given_nothing_to_tick_is_told_so_and_nothing_is_counted(page):
    listed, none = (
        page.evaluate(GROUPS, [data, run_at(1)]) for data in (DATA, DATA | {"claims": []})
    )
    assert (listed["tally"], none["tally"]) == ("0 of 5", "")
    assert "due in this segment" in listed["noneDue"]
    assert "as a note" in none["noneDue"]


def test_a_claim_says_who_ticked_it_otherwise(page):
    others = [{"who": "Ada", "verdict": "missed"}, {"who": "", "verdict": "wrong"}]
    ticked = [{"id": "x", "claim": "now", "verdict": "heard", "against": others}]
    found = page.evaluate(AGAINST, [DATA, run_at(1) | {"claims": ticked}])
    assert found["now"] == "Ada: missed, The presenter’s device: said wrong"
    assert found["first"] == ""


def test_the_word_on_the_connection_says_what_is_the_matter(page):
    cases = [
        {},
        {"status": "waiting", "silentMs": None},
        {"silentMs": 7400, "unsent": 2},
        {"feed": "away", "silentMs": 9000, "unsent": 3},
        {"feed": "away", "silentMs": 100},
        {"feed": "full", "status": "waiting"},
        {"unsent": 1, "isKept": False},
        {"silentMs": None, "openMs": 300},
    ]
    assert [each["words"] for each in page.evaluate(LINK, cases)] == [
        "Live",
        "Live",
        "No word from the stage · as of 0:28 · 2 not yet sent",
        "No connection · as of 0:28 · 3 not yet sent",
        "No connection · remarks kept here",
        "50 devices watch already: trying again",
        "This device cannot keep your remarks: leave this page open until they are sent",
        "Connecting",
    ]


def test_figures_are_of_the_moment_when_the_presenter_was_last_heard(page):
    cases = [
        {"silentMs": 5000},
        {"silentMs": 5100},
        {"silentMs": None, "lastKnownMs": 0},
        {"silentMs": 9000, "status": "finished"},
    ]
    as_of = [each["asOfMs"] for each in page.evaluate(LINK, cases)]
    assert as_of == [None, 28_400, 0, None]


SEGMENT_CASES = Path(__file__).parents[2] / "segment_cases.json"


def test_a_remark_stands_in_the_segment_that_the_page_of_the_run_names(page):
    cases = json.loads(SEGMENT_CASES.read_text())["cases"]
    assert page.evaluate(PLACES, cases) == [case["place"] for case in cases]


def test_a_remark_made_while_cut_off_goes_to_its_segment_when_the_marks_arrive(page):
    note = {"id": "n", "elapsed_ms": 27_900, "segment_id": "s1", "text": "Look up", "who": "Ada"}
    call = {"id": "c", "elapsed_ms": 5000, "text": "Five minutes left", "who": "Ada"}
    run = {"claims": [], "incidents": [], "notes": [note], "calls": [call], "total_ms": None}
    before = page.evaluate(LINES, [DATA, run | {"ends_ms": [None, None, None]}])
    after = page.evaluate(LINES, [DATA, run | {"ends_ms": [10_000, 20_000, None]}])
    called = ["0:05", "s1", "Time call: Five minutes left"]
    assert before == [["0:27", "s1", "Look up"], called]
    assert after == [["0:27", "s3", "Look up"], called]


def test_points_are_read_with_point_or_comma_and_refused_in_words(page):
    cases = [["8", 10], ["8,5", 10], [" 0 ", 10], ["10.1", 10], ["-1", 10], ["", 5], ["x", 2.5]]
    refused = "Give a number from 0 to {}.".format
    assert page.evaluate(POINTS, cases) == [
        8, 8.5, 0, refused(10), refused(10), refused(5), refused(2.5),
    ]  # fmt: skip


def test_the_call_is_the_rule_sheets_where_it_is_time_and_else_the_clock(page):
    assert page.evaluate(CALLS, [0, 301_000, 310_000, 607_000]) == [
        "10:00 left",
        "Five minutes left",
        "4:50 left",
        "0:07 over",
    ]
