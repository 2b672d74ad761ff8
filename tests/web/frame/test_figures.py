"""One figure, one value: what several pages show of one thing is the same on each of them."""

import json
import random
import re
from collections import defaultdict
from functools import cache

import pytest

from server.web.frame.filters import clock
from tests.factories import NOW_MS, make_events, make_process, make_routine, make_segment
from tests.thorough import some
from tests.web.html import Page, text_of
from tests.web.practice import practise, practise_once
from tests.web.shelf import keep_run

PLACES = (
    "/plan", "/plan/next", "/plan/chance", "/plan/risk", "/plan/what-if", "/plan/sheet", "/script",
    "/claims", "/declaration", "/drinks", "/rehearse", "/runs", "/drift", "/drift/compare",
    "/runs?show=sessions", "/drift?open=report",
)  # fmt: skip
DEMO = "/routines/routine-demo"
SMALL = make_routine(
    segments=(
        make_segment("s1", 180, said="Good evening. I am glad that you are here with me tonight."),
        make_segment("s2", 200, lane="hands"),
        make_segment("s3", 205, said="Thank you.", drink_id=None),
    ),
    processes=(make_process(),),
)


def figures_of(client, path):
    """Figure -> its values, each with the pages that show it."""
    found = defaultdict(lambda: defaultdict(set))
    plan = Page(client.get(f"{path}/plan"))
    opened = [each.get("href") for each in plan.all(".plan-row a")]
    for place in ("/", *(f"{path}{each}" for each in PLACES), *opened):
        answer = client.get(place)
        assert answer.status_code == 200, place
        for each in Page(answer).all("[data-figure]"):
            found[each.get("data-figure")][text_of(each)].add(place)
    return found


def stage_starts(client, run_path):
    """Segment -> its planned start as the stage reckons it, from mark to mark."""
    data = json.loads(Page(client.get(run_path)).one("#run-data").text)
    starts, at_s = {}, 0.0
    for segment in data["segments"]:
        starts[segment["id"]] = clock(at_s)
        at_s += segment["likely_s"]
    return starts


@cache
def figures_of_the_demo(demo):
    """The same of the demo, which nobody changes."""
    return figures_of(demo, DEMO)


def figures_on(routine):
    client, path = routine
    return figures_of_the_demo(client) if path == DEMO else figures_of(client, path)


@pytest.fixture
def small(client):
    practise(client, [181, 198, 204], [190, 210, 200], [180, 200, 205], routine=SMALL)
    return client, "/routines/r1"


@pytest.fixture(params=["demo", "small"])
def routine(request):
    if request.param == "small":
        return request.getfixturevalue("small")
    demo = request.getfixturevalue("demo")
    return demo, DEMO


def test_a_figure_that_several_pages_show_is_the_same_on_each(routine):
    found = figures_on(routine)
    differing = {figure: dict(values) for figure, values in found.items() if len(values) > 1}
    assert differing == {}


def test_every_kind_of_shared_figure_is_met_on_more_than_one_page(demo):
    pages = defaultdict(set)
    for figure, values in figures_of_the_demo(demo).items():
        pages[figure.partition(":")[0]] |= set().union(*values.values())
    shared = {
        "segment-start", "segment-words", "process-start", "process-need", "process-start-run",
        "process-latest", "process-safe", "runs-counted", "last-run", "inside", "target", "penalty",
        "finish", "spread", "why", "past",
    }  # fmt: skip
    assert {kind for kind in shared if len(pages[kind]) > 1} == shared


PRACTISED = {
    "no run": 0, "one run": 1, "two runs": 2, "five runs": 5, "twelve runs": 12, "forty runs": 40,
}  # fmt: skip


@pytest.mark.parametrize(
    "runs", some(PRACTISED.values(), lambda runs: runs in (2, 12)), ids=PRACTISED
)
def test_the_next_run_has_one_answer_on_every_page(client, runs):
    practise(client, *made(runs), routine=SMALL)
    assert_one_answer(client, "/routines/r1", shown_by_drift=bool(runs))


def test_the_next_run_has_one_answer_after_the_plan_was_edited(client):
    practise(client, *made(5), routine=SMALL)
    before = set(figures_of(client, "/routines/r1")["finish:r1"])
    client.post("/routines/r1/plan/block", data={"segment": "s2", "seconds": "-20", "to": "2"})
    assert_one_answer(client, "/routines/r1", shown_by_drift=True)
    assert set(figures_of(client, "/routines/r1")["finish:r1"]) != before


def test_the_next_run_has_one_answer_after_odd_practice(client):
    # Two of one minute, a mark missing, no mark at all, broken off, and a clock left running.
    practise(client, *made(2), routine=SMALL, every_ms=0)
    practise(client, [190, None, 400], [None, None, 600], routine=SMALL)
    for odd in ({"splits": [190], "closing": "abandon"}, [1840, 2040, 2090]):
        practise_once(client, odd, SMALL, started_ms=NOW_MS)
    assert_one_answer(client, "/routines/r1", shown_by_drift=True)
    told = Page(client.get("/routines/r1/plan/next")).text("[data-figure^='finish:']")
    assert told.partition(":")[0] in ("9", "10")


def test_the_demo_has_one_chance_on_plan_risk_drift_goal_and_first_page(demo):
    path = DEMO
    assert_one_answer(demo, path, shown_by_drift=True)
    chance = Page(demo.get(f"{path}/plan/next")).text("[data-figure^='inside:']")
    assert Page(demo.get("/")).one(f"[hx-get='{path}/plan/next']") is not None
    told = Page(demo.get(f"{path}/drift")).text("#forecast summary b")
    assert told == f"{chance} finish within 10:00"


def test_a_goal_that_is_the_slot_has_the_chance_of_the_slot(client):
    practise(client, *made(5), routine=SMALL)
    goal = {"runs": "3", "low": "0:00", "high": "10:00", "in_a_row": "yes"}
    client.post("/routines/r1/drift/goal", data=goal)
    page = Page(client.get("/routines/r1/drift"))
    told = page.text("#goal [data-goal-chance]")
    assert told == f"{page.text('#forecast dd[data-figure^=inside]')} finish within 10:00."


def test_the_stage_expects_the_finish_that_the_plan_foretells(client):
    (run_id, *_) = practise(client, *made(5), routine=SMALL)
    data = json.loads(Page(client.get(f"/runs/{run_id}/stage")).one("#run-data").text)
    expected_s = sum(each["expected_s"] for each in data["segments"])
    assert {clock(expected_s)} == set(figures_of(client, "/routines/r1")["finish:r1"])


def made(runs):
    """Splits that get shorter with practice, and scatter."""
    chance = random.Random(3)
    return [[chance.gauss(each, 4) - n / 2 for each in (184, 204, 209)] for n in range(runs)]


def assert_one_answer(client, path, *, shown_by_drift):
    key = path.rpartition("/")[2]
    found = figures_on((client, path))
    what_if = Page(client.get(f"{path}/plan/what-if"))
    longer = what_if.all("select[name=longer] option[value]:not([value=''])")[0].get("value")
    tried = Page(client.get(f"{path}/plan/what-if?longer={longer}&seconds=-1"))
    shown = {"/plan/risk", *(["/drift"] if shown_by_drift else [])}
    for kind in ("inside", "target", "penalty", "finish", "spread", "why"):
        values = found[f"{kind}:{key}"]
        assert len(values) == 1, dict(values)
        ((value, places),) = values.items()
        assert {f"{path}{each}" for each in shown} <= places
        # What if shows it as it is, beside what a change makes of it.
        assert {text_of(each) for each in tried.all(f"[data-figure='{kind}:{key}']")} <= {value}
    ((_, places),) = found[f"inside:{key}"].items()
    assert {f"{path}/plan/next", f"{path}/plan/chance"} <= places
    assert tried.all(f"[data-figure='inside:{key}']")


def test_the_stage_starts_each_segment_where_the_plan_does(routine):
    client, path = routine
    found = figures_on(routine)
    for segment_id, start in stage_starts(client, f"{path}/try").items():
        assert set(found[f"segment-start:{segment_id}"]) == {start}


def test_claims_checked_unchecked_and_asked_about_come_to_all_claims(demo):
    page = Page(demo.get(f"{DEMO}/claims"))
    to_settle, hold, unchecked, *perhaps = (int(each) for each in page.texts(".tallies b"))
    assert to_settle == len(page.all(".ledger > .claims > .claim"))
    assert hold == len(page.all("[id^='hold-'] .claim"))
    assert unchecked == len(page.all("#unchecked .claim"))
    assert sum(perhaps) == len(page.all("#perhaps .claim"))
    assert page.text("h1").startswith(f"{to_settle} claims to settle")


def test_segments_for_the_hands_alone_lack_no_words(small):
    client, path = small
    assert "no words yet" not in Page(client.get(f"{path}/rehearse")).root.text_content()
    client.post(f"{path}/segments/s3", data={"name": "End", "likely": "3:25", "lane": "voice"})
    assert "1 segment has no words yet." in Page(client.get(f"{path}/rehearse")).root.text_content()


UNCOUNTED = {
    "tapped through": {"splits": [5, 5, 6], "excluded": None},
    "left open for hours": {"splits": [180, 200, 30_000], "excluded": None},
    "taken out": {"splits": [300, 100, 100], "excluded": True, "incident_s": 20},
    "hardly marked": {"splits": [None, None, None], "total_s": 585, "excluded": None},
}
READERS = ("/plan", "/plan/chance", "/plan/risk", "/plan/what-if", "/script", "/claims", "/drinks",
           "/drift/compare", "/drift")  # fmt: skip


def test_an_uncounted_run_changes_no_figure_on_any_page(small):
    client, path = small
    before = {place: plain(client.get(f"{path}{place}").text) for place in READERS}
    figures = {each: set(values) for each, values in figures_of(client, path).items()}
    for number, (kind, given) in enumerate(UNCOUNTED.items()):
        practise_once(client, given, SMALL, started_ms=1_789_999_000_000 + number * 1_000_000)
        # A run broken off is told of as such where forecasts speak of what they leave out.
        after = {place: plain(client.get(f"{path}{place}").text) for place in READERS}
        assert {place for place in READERS if after[place] != before[place]} == set(), kind
    assert {each: set(values) for each, values in figures_of(client, path).items()} == figures


def plain(text):
    """A page without the sentences that tell how many runs were broken off."""
    return re.sub(r'(<p class="hint">| )It speaks of finished runs[:;].*?\.(</p>)?', "", text)


def test_an_open_run_fills_neither_the_tape_nor_the_sessions(small):
    client, path = small
    before = [len(Page(client.get(f"{path}/runs")).all(".strip-names span")),
              len(Page(client.get(f"{path}/drift/sessions")).all(".session-runs li"))]  # fmt: skip
    log = make_events({"s1": 61.0}, started_ms=1_789_999_000_000, prefix="open")
    keep_run(client, SMALL, log, excluded=None)
    after = [len(Page(client.get(f"{path}/runs")).all(".strip-names span")),
             len(Page(client.get(f"{path}/drift/sessions")).all(".session-runs li"))]  # fmt: skip
    assert after == before


def test_an_open_run_is_ended_in_the_list_and_brought_back(small):
    client, path = small
    run_id = keep_run(client, SMALL, make_events({"s1": 61.0}, prefix="open"), excluded=None)
    action = f"/runs/{run_id}/end"
    ended = client.post(Page(client.get(f"{path}/runs")).form(action).get("action"))
    page = Page(client.get(ended.headers["location"]))
    assert action not in {each.get("action") for each in page.all("form")}
    client.post(page.one(".notice form").get("action"))
    assert Page(client.get(f"{path}/runs")).form(action) is not None


def test_a_run_is_taken_out_where_it_is_opened_and_back_by_the_same_button(small):
    client, path = small
    counting = f"{path}/runs/counting"
    opened = Page(client.get(f"{path}/runs"))
    answer = client.post(counting, data=opened.sent_by(counting))
    page = Page(client.get(answer.headers["location"]))
    assert text_of(page.form(counting)) == "Count it"
    assert set(figures_of(client, path)["runs-counted:r1"]) == {"2"}
    client.post(counting, data=page.sent_by(counting))
    assert set(figures_of(client, path)["runs-counted:r1"]) == {"3"}


def test_strips_of_the_tape_keep_their_scale_beside_a_run_of_hours(small):
    client, path = small
    practise_once(client, [180, 200, 30_000], SMALL, started_ms=1_789_999_000_000)
    labels = Page(client.get(f"{path}/runs")).texts(".run-axis .run-tick text")
    assert int(labels[-1]) <= 20
