import json
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.runs.events import INCIDENTS
from server.domain.runs.paper import (
    LONGEST_NOTE,
    LONGEST_RUN_S,
    PaperIncident,
    PaperRun,
    paper_events,
    paper_faults,
)
from server.domain.runs.paper_form import read_paper
from server.domain.runs.run import fold, outline_of
from server.domain.whole.exchange import events_json, parse_events
from tests.table import table

STARTED_MS = 1_790_000_000_000

ROUTINE = Routine(
    id="r",
    name="Mine",
    rule_sheet_id="x",
    segments=tuple(Segment(f"s{n}", f"Segment {n}", Spread(60)) for n in range(1, 5)),
    processes=(Process("p1", "Drip", Spread(90), "s1", "s4"),),
)


def numbered():
    numbers = count()
    return lambda: f"e{next(numbers)}"


def folded(run, routine=ROUTINE):
    return fold(paper_events(routine, run, STARTED_MS, numbered()), outline_of(routine))


def form(*times, total="", ready="", **fields):
    typed = {f"time-s{number}": time for number, time in enumerate(times, start=1)}
    return {**typed, "total": total, "ready-p1": ready, **fields}


def faults_of(build):
    with pytest.raises(InvalidInput) as refused:
        build()
    return {fault.field: fault.message for fault in refused.value.faults}


# From times to events


def test_a_run_from_paper_folds_to_the_times_on_the_sheet():
    run = PaperRun(
        total_s=250.5,
        ends_s={"s1": 61.2, "s2": 120.0, "s3": 190.4, "s4": 250.5},
        ready_s={"p1": 180.0},
    )
    state = folded(run)
    assert state.status == "finished"
    assert state.ends_ms == (61_200, 120_000, 190_400, 250_500)
    assert state.splits_ms == (61_200, 58_800, 70_400, 60_100)
    assert (state.total_ms, state.started_wall_ms) == (250_500, STARTED_MS)
    assert (state.processes[0].ready_ms, state.processes[0].missed) == (180_000, False)


def test_a_blank_reading_leaves_its_neighbours_without_a_split():
    state = folded(PaperRun(250.0, {"s1": 60.0, "s3": 190.0}))
    assert state.ends_ms == (60_000, None, 190_000, 250_000)
    assert state.splits_ms == (60_000, None, None, 60_000)


def test_a_run_broken_off_is_abandoned_where_it_stopped():
    state = folded(PaperRun(100.0, {"s1": 60.0}, broken_off=True))
    assert (state.status, state.total_ms) == ("abandoned", 100_000)
    assert state.ends_ms == (60_000, None, None, None)


def test_a_process_ready_after_it_was_needed_missed_its_deadline():
    run = PaperRun(260.0, {"s1": 60.0, "s2": 120.0, "s3": 190.0}, {"p1": 190.1})
    assert folded(run).processes[0].missed


def test_an_incident_is_kept_with_its_note_in_the_segment_it_fell_in():
    spill = PaperIncident("spill", 70.0, "Tipped the jug")
    (incident,) = folded(PaperRun(250.0, {"s1": 60.0, "s2": 120.0}, incidents=(spill,))).incidents
    assert (incident.what, incident.text, incident.elapsed_ms) == ("spill", "Tipped the jug", 70000)
    assert incident.segment_id == "s2"


@pytest.mark.parametrize("at_s", [100.0, 200.0])
def test_an_incident_beside_a_blank_belongs_to_no_segment(at_s):
    run = PaperRun(250.0, {"s1": 60.0}, incidents=(PaperIncident("other", at_s),))
    assert folded(run).incidents[0].segment_id is None


def test_an_incident_after_the_last_reading_falls_in_the_last_segment():
    run = PaperRun(250.0, {"s3": 190.0}, incidents=(PaperIncident("other", 200.0),))
    assert folded(run).incidents[0].segment_id == "s4"


def test_events_from_paper_are_events_like_any_other():
    run = PaperRun(250.0, {"s1": 60.0}, {"p1": 80.0}, (PaperIncident("spill", 9.0, "x"),))
    events = paper_events(ROUTINE, run, STARTED_MS, numbered())
    assert parse_events(json.dumps({"events": events_json(events)}).encode()) == events
    assert [event.seq for event in events] == list(range(len(events)))
    assert {event.boot_id for event in events} == {"paper"}
    assert all(event.wall_ms - STARTED_MS == event.mono_ms for event in events)


# What cannot be


@table(
    "run, field, told",
    [
        (PaperRun(250.0, {"s1": 60.0, "s2": 50.0}), "time-s2", "before the end of “Segment 1”"),
        (PaperRun(250.0, {"s1": 60.0, "s3": 50.0}), "time-s3", "If these are durations"),
        (PaperRun(250.0, {"s4": 251.0}), "total", "but a segment ends at 4:11"),
        (PaperRun(-1.0), "total", "negative"),
        (PaperRun(0.0), "total", "longer than zero"),
        (PaperRun(7201.0), "total", "two hours"),
        (PaperRun(float("nan")), "total", "two hours"),
        (PaperRun(float("inf")), "total", "two hours"),
        (PaperRun(250.0, {"s1": -1.0}), "time-s1", "negative"),
        (PaperRun(250.0, {"gone": 1.0}), "time-gone", "not in the plan"),
        (PaperRun(250.0, {}, {"gone": 1.0}), "ready-gone", "not in the plan"),
        (PaperRun(250.0, {}, {"p1": 251.0}), "ready-p1", "after the end of the run"),
        (PaperRun(250.0, {"s1": 60.0}, {"p1": 59.0}), "ready-p1", "only started at 1:00"),
        (PaperRun(250.0, {}, {"p1": -1.0}), "ready-p1", "negative"),
        (
            PaperRun(250.0, incidents=(PaperIncident("spill", 300.0, row=2),)),
            "at-2",
            "after the end",
        ),
        (
            PaperRun(250.0, incidents=(PaperIncident("spill", 1.0, "x" * (LONGEST_NOTE + 1), 3),)),
            "note-3",
            "2,000 characters",
        ),
    ],
)
def test_times_that_cannot_be_are_told_beside_their_field(run, field, told):
    found = faults_of(lambda: folded(run))
    assert list(found) == [field]
    assert told in found[field]


def test_times_at_the_very_edge_of_what_can_be_are_taken():
    opening = PaperIncident("other", 0.0, "x" * LONGEST_NOTE)
    run = PaperRun(LONGEST_RUN_S, {"s1": 60.0, "s2": 60.0}, {"p1": 60.0}, (opening,))
    state = folded(run)
    assert (state.total_ms, state.processes[0].ready_ms) == (7_200_000, 60_000)
    assert (state.splits_ms[1], state.incidents[0].segment_id) == (0, "s1")


def test_an_incident_in_the_first_second_falls_in_the_first_segment():
    run = PaperRun(250.0, {"s1": 60.0}, incidents=(PaperIncident("other", 0.5),))
    assert folded(run).incidents[0].segment_id == "s1"


def test_every_wrong_time_is_told_at_once():
    run = PaperRun(100.0, {"s1": 60.0, "s2": 50.0, "s3": 120.0}, {"p1": 10.0})
    assert [fault.field for fault in paper_faults(ROUTINE, run)] == ["time-s2", "total", "ready-p1"]


# From the form to times


def test_clock_readings_are_read_with_their_blanks():
    run = read_paper(ROUTINE, form("1:00", "", "3:10", "4:10", ready="2:40"))
    assert run == PaperRun(250.0, {"s1": 60.0, "s3": 190.0, "s4": 250.0}, {"p1": 160.0})


def test_durations_are_laid_end_to_end():
    run = read_paper(ROUTINE, form("1:00", "58.8", "70.4", "1m"), "durations")
    assert run.ends_s == {"s1": 60.0, "s2": 118.8, "s3": 189.2, "s4": 249.2}
    assert run.total_s == 249.2


def test_one_blank_duration_follows_from_the_total():
    run = read_paper(ROUTINE, form("60", "", "70", "60", total="4:10"), "durations")
    assert folded(run).splits_ms == (60_000, 60_000, 70_000, 60_000)


def test_neighbouring_blank_durations_stay_unknown():
    run = read_paper(ROUTINE, form("60", "", "", "60", total="4:10"), "durations")
    assert folded(run).splits_ms == (60_000, None, None, 60_000)


def test_a_total_beyond_the_durations_is_kept():
    run = read_paper(ROUTINE, form("60", "60", "60", "60", total="4:10"), "durations")
    assert (run.ends_s["s4"], run.total_s) == (240.0, 250.0)


def test_durations_of_a_run_broken_off_end_at_the_first_blank():
    run = read_paper(ROUTINE, form("60", "60", total="2:20"), "durations", broken_off=True)
    assert (run.ends_s, run.total_s, run.broken_off) == ({"s1": 60.0, "s2": 120.0}, 140.0, True)


def test_incidents_are_read_row_by_row_and_empty_rows_are_passed_over():
    typed = form(
        total="4:10",
        **{"what-0": "", "at-0": "", "note-0": " "},
        **{"what-2": "spill", "at-2": "1:10", "note-2": " Tipped the jug "},
    )
    incident = PaperIncident("spill", 70.0, "Tipped the jug", row=2)
    assert read_paper(ROUTINE, typed).incidents == (incident,)


@table(
    "typed, noted, broken_off, told",
    [
        (form("1:00"), "readings", False, {"total": "Give the total"}),
        (form("1:00"), "readings", True, {"total": "broken off"}),
        (form("60", "", "60", "60"), "durations", False, {"total": "Give the total"}),
        (form("60"), "durations", False, {"total": "Give the total"}),
        (form("60", "60", "60", "60"), "durations", True, {"total": "broken off"}),
        (form("60", "60", total="1:59"), "durations", True, {"total": "add up to 2:00"}),
        (
            form("60", "", "70", "60", total="3:00"),
            "durations",
            False,
            {"total": "The total is 3:00, but the durations add up to 3:10"},
        ),
        (
            form("60", "", "70", "", total="4:10"),
            "durations",
            False,
            {"time-s3": "“Segment 2” is blank"},
        ),
        (
            form("60", "", "70", "60", total="4:10"),
            "durations",
            True,
            {"time-s3": "is blank", "time-s4": "is blank"},
        ),
        (
            form("soon", "-1", total="x", ready="y"),
            "readings",
            False,
            {"time-s1": "no duration", "time-s2": "negative", "ready-p1": "", "total": ""},
        ),
        (form(total="4:10", **{"at-0": "1:00"}), "readings", False, {"what-0": "Choose"}),
        (form(total="4:10", **{"what-0": "fire", "at-0": "1"}), "readings", False, {"what-0": ""}),
        (form(total="4:10", **{"what-0": "spill"}), "readings", False, {"at-0": "clock reading"}),
        (
            form(total="4:10", **{"what-0": "spill", "at-0": "then"}),
            "readings",
            False,
            {"at-0": "no duration"},
        ),
    ],
)
def test_a_form_that_cannot_be_read_says_why_beside_each_field(typed, noted, broken_off, told):
    found = faults_of(lambda: read_paper(ROUTINE, typed, noted, broken_off))
    assert list(found) == list(told)
    for field, words in told.items():
        assert words in found[field]


def test_a_run_of_a_routine_without_segments_has_a_total_alone():
    empty = Routine("r", "Empty", "x")
    assert folded(read_paper(empty, {"total": "4:10"}), empty).total_ms == 250_000
    assert faults_of(lambda: read_paper(empty, {}, "durations")) == {
        "total": "Give the total, or the time of the last segment."
    }


# Laws


@st.composite
def paper_runs(draw):
    """A routine of some segments and a sheet of its run with blanks, incidents and readiness."""
    number = draw(st.integers(1, 6))
    segments = tuple(Segment(f"s{n}", f"Segment {n}", Spread(60)) for n in range(number))
    routine = Routine(
        "r", "Mine", "x", segments=segments, processes=(Process("p1", "Drip", Spread(90)),)
    )
    total_ms = draw(st.integers(1, 1_200_000))
    moments = st.integers(0, total_ms)
    readings = sorted(draw(st.lists(moments, min_size=number, max_size=number)))
    noted = draw(st.lists(st.booleans(), min_size=number, max_size=number))
    incidents = st.builds(
        PaperIncident, st.sampled_from(sorted(INCIDENTS)), moments.map(lambda ms: ms / 1000)
    )
    return routine, PaperRun(
        total_s=total_ms / 1000,
        ends_s={f"s{n}": readings[n] / 1000 for n in range(number) if noted[n]},
        ready_s=draw(st.sampled_from([{}, {"p1": draw(moments) / 1000}])),
        incidents=tuple(draw(st.lists(incidents, max_size=3))),
        broken_off=draw(st.booleans()),
    )


@given(paper_runs())
def test_the_fold_of_a_run_from_paper_gives_every_time_typed(sheet):
    routine, run = sheet
    state = folded(run, routine)
    ends = dict(zip((part.id for part in routine.segments), state.ends_ms, strict=True))
    for segment_id, end_s in run.ends_s.items():
        assert ends[segment_id] == round(end_s * 1000)
    assert state.total_ms == round(run.total_s * 1000)
    assert state.status == ("abandoned" if run.broken_off else "finished")
    ready = {process.process_id: process.ready_ms for process in state.processes}
    assert ready["p1"] == (round(run.ready_s["p1"] * 1000) if run.ready_s else None)
    assert sorted((incident.what, incident.elapsed_ms) for incident in state.incidents) == sorted(
        (incident.what, round(incident.at_s * 1000)) for incident in run.incidents
    )


@given(paper_runs())
def test_a_blank_is_never_filled_but_the_last_of_a_finished_run(sheet):
    routine, run = sheet
    state = folded(run, routine)
    blank = [
        end_ms
        for segment, end_ms in zip(routine.segments[:-1], state.ends_ms, strict=False)
        if segment.id not in run.ends_s
    ]
    assert blank == [None] * len(blank)
    if run.broken_off and routine.segments[-1].id not in run.ends_s:
        assert state.ends_ms[-1] is None


@given(st.lists(st.integers(0, 6000), min_size=4, max_size=4), st.integers(0, 4))
def test_durations_typed_in_tenths_come_back_as_the_splits(tenths, blank):
    times = [f"{number / 10}" if index != blank else "" for index, number in enumerate(tenths)]
    total_s = max(sum(tenths), 1) / 10
    run = read_paper(ROUTINE, form(*times, total=str(total_s)), "durations")
    expected = [number * 100 for number in tenths]
    if sum(tenths) == 0 and blank < 4:
        expected[blank] += 100
    assert list(folded(run).splits_ms) == expected
