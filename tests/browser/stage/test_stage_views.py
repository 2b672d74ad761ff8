"""The pure parts of the stage: what is shown at a moment, from plain values."""

from math import exp, log
from pathlib import Path

import pytest

from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine, Segment, Spread
from tests.table import table

SEGMENTS = [
    {"id": "grind", "name": "Grind", "lane": "both", "likely_s": 30, "hands": "", "said": ""},
    {"id": "brew", "name": "Brew", "lane": "hands", "likely_s": 60, "hands": "", "said": ""},
    {"id": "serve", "name": "Serve", "lane": "voice", "likely_s": 45, "hands": "", "said": ""},
]
CHILL = {
    "id": "chill",
    "name": "Chill",
    "after_segment_id": "grind",
    "before_segment_id": "serve",
    "likely_s": 50,
    "low_s": 40,
    "high_s": None,
    "fallback": "The reserve.",
}
RULES = {
    "slot_s": 600,
    "target_s": 590,
    "grace_s": 2,
    "cutoff_s": 660,
    "time_calls": [{"at_s": 300, "words": "Half"}, {"at_s": 304, "words": "Really half"}],
}
DATA = {"segments": SEGMENTS, "processes": [CHILL], "rules": RULES}
MARK = {"device_id": "t", "boot_id": "b", "wall_ms": 0}

SCRIPTS = Path(__file__).parents[3] / "static" / "js"
CALL = "async ([path, name, values]) => (await import(path))[name](...values)"


def script_of(module):
    found = next(
        path for room in ("run", "stage") for path in (SCRIPTS / room).rglob(f"{module}.js")
    )
    return f"/static/js/{found.relative_to(SCRIPTS).as_posix()}"


@pytest.fixture
def js(modules_page):
    """Calls a function of a module of the stage with plain values."""

    def call(module, name, *values):
        return modules_page.evaluate(CALL, [script_of(module), name, list(values)])

    return call


@pytest.fixture
def run_after(js):
    """The folded run after marks (kind, elapsed ms, further fields)."""
    outline = {"segment_ids": [s["id"] for s in SEGMENTS], "processes": [CHILL]}

    def fold(*marks):
        events = [{**MARK, "id": "start", "seq": 0, "kind": "start", "mono_ms": 0}]
        for seq, (kind, at_ms, more) in enumerate(marks, 1):
            event = {**MARK, "id": f"e{seq}", "seq": seq, "kind": kind, "mono_ms": at_ms}
            events.append(event | more)
        return js("fold", "fold", events, outline)

    return fold


def done(segment_id, at_ms):
    return ("done", at_ms, {"segment_id": segment_id})


def test_ids_are_uuids_of_version_7(js):
    # RFC 9562, appendix A.6, from memory: 2022-02-22 19:22:22 UTC with the random bits given there.
    random = [0, 0, 0, 0, 0, 0, 0x0C, 0xC3, 0x18, 0xC4, 0xDC, 0x0C, 0x0C, 0x07, 0x39, 0x8F]
    made = js("ids", "uuid7", 1_645_557_742_000, random)
    assert made.upper() == "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"


@table(
    "name, value, words",
    [
        ("passed", 59_999, "0:59"),
        ("passed", 60_000, "1:00"),
        ("passed", 5_999_999, "99:59"),
        ("passed", 6_000_000, "1:40:00"),
        ("left", 59_001, "1:00"),
        ("left", 0, "0:00"),
        ("planned", 74.5, "1:15"),
        ("apart", 3250, "3.3 s over"),
        ("apart", -849, "0.8 s under"),
        ("apart", 71_000, "1:11 over"),
        ("apart", 3000, "3 s over"),
        ("apart", 49, "on plan"),
        ("exact", 589_650, "9:49.7"),
        ("exact", -950, "−0:01.0"),
    ],
)
def test_times_are_written_as_people_read_them(js, name, value, words):
    assert js("words", name, value) == words


def test_what_passed_and_what_is_left_always_add_up_to_the_slot(js):
    for elapsed_ms in (0, 1, 999, 1000, 59_400, 599_999):
        passed = js("words", "passed", elapsed_ms).split(":")
        left = js("words", "left", 600_000 - elapsed_ms).split(":")
        assert sum(60 * int(m) + int(s) for m, s in (passed, left)) == 600


def test_plan_is_laid_out_as_the_server_lays_it_out(js):
    segments = tuple(Segment(s["id"], s["name"], Spread(s["likely_s"])) for s in SEGMENTS)
    planned = layout(Routine("r", "Evening", "house", segments=segments)).segments
    places = js("forecast", "placed", SEGMENTS)
    assert [(p["startMs"], p["endMs"]) for p in places] == [
        (1000 * p.start_s, 1000 * p.end_s) for p in planned
    ]


@table(
    "marks, elapsed_ms, late_ms",
    [
        ([], 10_000, 0),
        ([], 37_000, 7_000),
        ([done("grind", 25_000)], 26_000, -5_000),
        ([done("grind", 25_000)], 84_000, -5_000),
        ([done("grind", 25_000)], 88_000, -2_000),
        ([done("grind", 25_000)], 91_500, 1_500),
        ([done("grind", 34_000)], 90_000, 4_000),
        ([done("grind", 34_000), done("brew", 94_000)], 95_000, 4_000),
    ],
)
def test_lateness_stands_until_a_segment_outlasts_its_plan(
    js, run_after, marks, elapsed_ms, late_ms
):
    assert js("forecast", "latenessMs", SEGMENTS, run_after(*marks), elapsed_ms) == late_ms


def test_finish_is_expected_later_by_what_the_run_is_late(js, run_after):
    run = run_after(done("grind", 34_000))
    assert js("forecast", "expectedTotalMs", SEGMENTS, run, 40_000) == 139_000
    assert js("forecast", "expectedTotalMs", SEGMENTS, run, 900_000) >= 900_000


def test_finish_is_expected_by_what_the_runs_took_not_by_the_plan(js, run_after):
    believed = [{**each, "expected_s": each["likely_s"] + 5} for each in SEGMENTS]
    run = run_after(done("grind", 34_000))
    assert js("forecast", "expectedTotalMs", believed, run, 40_000) == 34_000 + 65_000 + 50_000
    assert js("forecast", "expectedStartMs", believed, run, 40_000, 2) == 99_000


def test_a_run_that_begins_slowly_is_expected_to_go_on_slowly(js, run_after):
    day, own = 0.05, 0.04
    believed = [
        {**each, "expected_s": each["likely_s"], "day": day, "own": own} for each in SEGMENTS
    ]
    first, *rest = (each["likely_s"] for each in SEGMENTS)
    run = run_after(done("grind", round(first * 1100)))
    # The mean of a normal day that was seen once: its covariance with the split over the variance.
    slower = exp(day * day * log(1.1) / (day**2 + own**2))
    expected_ms = 1000 * (1.1 * first + slower * sum(rest))
    told_ms = js("forecast", "expectedTotalMs", believed, run, round(first * 1100))
    assert told_ms == pytest.approx(expected_ms, abs=2)


def test_one_split_of_minutes_makes_no_day_of_hours(js, run_after):
    believed = [{**each, "expected_s": each["likely_s"], "day": 0.05, "own": 0.05}
                for each in SEGMENTS]  # fmt: skip
    run = run_after(done("grind", 600_000))
    rest_s = sum(each["likely_s"] for each in SEGMENTS[1:])
    told_ms = js("forecast", "expectedTotalMs", believed, run, 600_000)
    assert rest_s < told_ms / 1000 - 600 < 1.12 * rest_s


def test_a_segment_passed_over_was_over_when_the_one_under_way_began(js, run_after):
    run = run_after(done("brew", 80_000))
    assert js("forecast", "expectedEndMs", SEGMENTS, run, 81_000, 0) == 80_000


def process_at(js, run, elapsed_ms):
    return js("process_view", "processViews", DATA, run, elapsed_ms)


def test_process_is_not_shown_before_its_segment_comes_and_after_its_product_is_served(
    js, run_after
):
    later = {**CHILL, "after_segment_id": "brew", "before_segment_id": None}
    data = DATA | {"processes": [later]}
    assert js("process_view", "processViews", data, run_after(), 1000) == []
    served = run_after(done("grind", 30_000), done("brew", 90_000), ("finish", 120_000, {}))
    assert process_at(js, served, 120_000) == []


def test_process_that_will_be_late_at_this_pace_says_by_how_much(js, run_after):
    slow = DATA | {"processes": [CHILL | {"likely_s": 75}]}
    (view,) = js("process_view", "processViews", slow, run_after(done("grind", 30_000)), 35_000)
    assert (view["status"], view["due"]) == ("ready in 1:10", "0:15 late for Serve")


def test_fallback_comes_into_sight_half_a_minute_before_the_process_is_needed(js, run_after):
    run = run_after(done("grind", 30_000))
    assert process_at(js, run, 59_000)[0]["fallback"] == ""
    assert process_at(js, run, 60_000)[0]["fallback"] == "The reserve."


def test_process_ready_too_late_says_so(js, run_after):
    run = run_after(
        done("grind", 30_000),
        done("brew", 90_000),
        ("ready", 94_000, {"process_id": "chill"}),
    )
    (view,) = process_at(js, run, 95_000)
    assert (view["stage"], view["status"]) == ("late", "ready at 1:34 · 0:04 late")


def test_later_time_call_takes_the_place_of_an_earlier_one(js):
    shown = [
        (js("view_state", "callAt", RULES, ms) or {}).get("words")
        for ms in (299_999, 300_000, 304_000, 309_000, 312_000)
    ]
    assert shown == [None, "Half", "Really half", "Really half", None]


def test_call_is_heard_when_it_is_crossed_but_not_long_after(js):
    calls = RULES["time_calls"]
    assert js("timekeeper", "callCrossed", calls, 299_990, 300_006)["words"] == "Half"
    assert js("timekeeper", "callCrossed", calls, 300_006, 300_022) is None
    assert js("timekeeper", "callCrossed", calls, 299_000, 304_500)["words"] == "Really half"
    assert js("timekeeper", "callCrossed", calls, 290_000, 420_000) is None


@pytest.mark.parametrize(
    ("elapsed_ms", "phase"),
    [
        (0, "before"),
        (590_001, "target"),
        (600_000, "target"),
        (600_001, "over"),
        (660_000, "cutoff"),
    ],
)
def test_phase_follows_target_slot_and_cut_off(js, elapsed_ms, phase):
    assert js("view_state", "phaseOf", RULES, elapsed_ms) == phase


def test_summary_says_how_the_run_stood_to_slot_target_and_grace(js, run_after):
    over = js("closed_view", "closedView", DATA, run_after(("finish", 601_500, {})))
    assert over["slot"] == "1.5 s over the slot of 10:00, within the grace"
    assert over["target"] == "11.5 s after the target of 9:50"
    assert over["rows"][0]["split"] == "not marked"


def test_a_run_that_was_stopped_is_held_against_neither_slot_nor_target(js, run_after):
    stopped = js("closed_view", "closedView", DATA, run_after(("abandon", 12_800, {})))
    assert (stopped["heading"], stopped["slot"], stopped["target"]) == ("Stopped", "", "")


def test_tape_gives_way_to_the_clock_and_says_how_late_the_run_is(js, run_after):
    tape = js("tape", "tapeOf", DATA, run_after(done("grind", 34_000)), 100_000)
    assert [(b["state"], b["start_s"], b["end_s"]) for b in tape["blocks"]] == [
        ("done", 0, 34),
        ("now", 34, 100),
        ("ahead", 100, 145),
    ]
    assert tape["late"] == {"words": "10 s late", "word": "late", "seconds": 10}


def test_tape_of_a_part_numbers_its_segments_as_the_routine_does(js, run_after):
    part = {"first": 11, "last": 13, "of": 17}
    tape = js("tape", "tapeOf", DATA | {"part": part}, run_after(), 5000)
    assert [block["number"] for block in tape["blocks"]] == [11, 12, 13]
    assert js("view_state", "placeOf", DATA | {"part": part}, 1) == "12 of 17"


def test_calls_stand_on_the_tape_as_the_time_that_is_then_left(js, run_after):
    calls = [{"at_s": at_s, "words": "x"} for at_s in (300, 545, 570, 600)]
    data = DATA | {"rules": RULES | {"time_calls": calls}}
    markers = js("tape", "tapeOf", data, run_after(), 0)["markers"]
    told = [each["words"] for each in markers if each["kind"] == "call"]
    assert told == ["5 min", "55 s", "30 s", "+0:00"]


def test_bar_of_a_process_says_where_it_is_sure_and_when_it_is_needed(js, run_after):
    (view,) = process_at(js, run_after(done("grind", 30_000)), 60_000)
    # 40 of 50 s for sure, 30 s gone, needed after the 60 s of Brew.
    assert view["bar"] == pytest.approx({"sure": 40 / 60, "now": 30 / 60, "due": 1})


@pytest.mark.parametrize(
    ("lines", "visible", "spoken", "top"),
    [(6, 3, 0, 0), (6, 3, 0.49, 1), (6, 3, 0.5, 2), (6, 3, 1, 3), (2, 3, 0.9, 0), (6, 1, 0.5, 3)],
)
def test_line_that_is_being_said_is_the_second_in_sight(js, lines, visible, spoken, top):
    assert js("spoken", "topLine", lines, visible, spoken) == top


WATCH = """async ([path, looks]) => {
  const { SkewWatch } = await import(path);
  let at = [0, 0];
  const watch = new SkewWatch({ monoMs: () => at[0], wallMs: () => at[1] });
  return looks.map(([mono, wall, hidden]) => {
    at = [mono, wall];
    if (hidden) watch.noteHidden();
    return watch.check(false);
  });
}"""


@pytest.fixture
def watched(modules_page):
    """What the watch over both clocks tells at each look."""
    return lambda looks: modules_page.evaluate(WATCH, [script_of("clock"), looks])


@pytest.mark.parametrize(
    ("look", "step"),
    [
        ((1000, 1000, False), None),
        ((1000, 1249, True), None),
        ((1000, 31_000, True), {"step_ms": 30_000, "cause": "sleep"}),
        ((1000, 31_000, False), {"step_ms": 30_000, "cause": "set"}),
        ((1000, -59_000, True), {"step_ms": -60_000, "cause": "set"}),
    ],
)
def test_clocks_that_move_apart_tell_of_a_sleep_or_of_a_clock_that_was_set(watched, look, step):
    assert watched([look, (look[0] + 5, look[1] + 5, False)]) == [step, None]


def test_small_steps_add_up_until_they_count(watched):
    looks = [(1000 * n, 1100 * n, False) for n in (1, 2, 3)]
    assert [step and step["step_ms"] for step in watched(looks)] == [None, None, 300]


@table(
    "key, action",
    [(" ", "next"), ("PageDown", "next"), ("PageUp", "undo"), ("R", "ready"), ("x", None),
     ("Escape", "close"), ("5", None), ("Tab", None)],
)  # fmt: skip
def test_keys_mean_what_clickers_send_them_for(js, key, action):
    assert js("keys", "actionOf", key) == action


def test_processes_shown_together_keep_apart_and_others_share_a_place(js, run_after):
    def linked(name, after, before):
        return CHILL | {"id": name, "after_segment_id": after, "before_segment_id": before}

    processes = [linked("a", "grind", "serve"), linked("b", "brew", None)]
    data = DATA | {"processes": processes}
    assert js("process_view", "laneCount", data) == 2
    apart = [linked("a", None, "grind"), linked("b", "brew", "serve")]
    assert js("process_view", "laneCount", DATA | {"processes": apart}) == 1
