"""From stored runs to a belief, and on to a simulation."""

from dataclasses import replace

import numpy as np

from server.domain.belief.practice import PastRun, practice_of
from server.domain.risk.draws import rows_of
from server.domain.risk.model import model_of
from server.domain.risk.parts import parts_of, plan_of
from server.domain.risk.simulate import simulate
from server.domain.routine.plan import RoutinePart
from server.domain.runs.labels import Occasion
from tests.domain.belief.practices import DAY_MS
from tests.domain.shorthand import believe
from tests.factories import NOW_MS, make_line, make_routine, make_segment

SEGMENTS = ("s0", "s1", "s2", "s3")
ROUTINE = make_routine(segments=tuple(make_segment(each, 40.0) for each in SEGMENTS))
THEN_S = dict.fromkeys(SEGMENTS, 40.0)


def stored(count, *, seed=1):
    random = np.random.default_rng(seed)
    for run in range(count):
        splits = 44 * np.exp(0.02 * random.normal() + 0.05 * random.standard_normal(4))
        kept = dict(zip(SEGMENTS, splits.tolist(), strict=True))
        line = make_line(float(splits.sum()), kept, id=f"r{run}")
        at_ms = NOW_MS + run * DAY_MS
        yield PastRun(replace(line, started_ms=at_ms, created_ms=at_ms), THEN_S)


def test_stored_runs_are_read_with_their_times_and_moments():
    past = list(stored(3))
    runs = practice_of(ROUTINE, past)
    assert [run.id for run in runs] == ["r0", "r1", "r2"]
    assert runs[1].at_ms == NOW_MS + DAY_MS
    assert abs(sum(runs[0].durations_s.values()) - runs[0].total_s) < 0.01


def test_a_broken_off_run_does_not_count():
    past = list(stored(3))
    broken = PastRun(replace(past[1].line, status="abandoned"), THEN_S)
    assert [run.id for run in practice_of(ROUTINE, [past[0], broken, past[2]])] == ["r0", "r2"]


def test_only_a_whole_run_with_all_its_splits_tells_how_long_a_run_takes():
    (past,) = stored(1)
    a_part = replace(past.line.summary, part=RoutinePart(1, 4, 6))
    lines = (
        past.line,
        replace(past.line, occasion=Occasion(left_out=("s1",))),
        replace(past.line, summary=a_part, doubt="part"),
    )
    whole, with_a_gap, part = practice_of(ROUTINE, [replace(past, line=each) for each in lines])
    assert whole.total_s == past.line.total_ms / 1000
    assert (with_a_gap.total_s, part.total_s) == (None, None)


def test_older_runs_leave_several_at_a_time():
    lines = [PastRun(make_line(160.0, {"s0": 160.0}, id=f"r{n}"), THEN_S) for n in range(125)]
    first = [practice_of(ROUTINE, lines[:count])[0].id for count in (100, 119, 120, 125)]
    assert first == ["r0", "r0", "r20", "r20"]


def test_a_segment_that_stands_elsewhere_today_is_measured_as_it_stood_in_the_run():
    past = [replace(run, segments=ROUTINE.segments) for run in stored(1)]
    turned = make_routine(segments=tuple(make_segment(each, 40.0) for each in reversed(SEGMENTS)))
    (as_it_stood,), (found,) = practice_of(ROUTINE, past), practice_of(turned, past)
    assert found.durations_s == as_it_stood.durations_s


def test_helpers_and_processes_do_not_follow_the_presenter():
    segments = (make_segment("s0", 40.0), make_segment("s1", 40.0, helper=True), "s2")
    plan = plan_of(parts_of(make_routine(segments=segments)))
    assert [part.own for part in plan.values()] == [True, False, True]


def test_a_simulation_from_the_parts_ends_when_the_whole_is_believed_to():
    parts = parts_of(ROUTINE)
    model = model_of(parts, practice_of(ROUTINE, list(stored(15))))
    belief = model.told
    assert rows_of(model).loadings.max() > 0
    finish_s = simulate(model, 20_000).finish_s
    for chance in (0.1, 0.5, 0.9):
        believed_s = belief.total.quantiles_s([chance])[0]
        assert abs(np.quantile(finish_s, chance) - believed_s) < 0.008 * believed_s


def test_an_alongside_segment_is_not_added_to_the_whole():
    segments = (make_segment("s0", 40.0), make_segment("s1", 40.0, lane="voice", alongside=True))
    hands = make_segment("s0", 40.0, lane="hands")
    routine = make_routine(segments=(hands, segments[1]))
    lines = [make_line(41.0, {"s0": 40.0, "s1": 1.0}, id=f"r{n}") for n in range(5)]
    past = [PastRun(line, {"s0": 40.0, "s1": 40.0}) for line in lines]
    belief = believe(practice_of(routine, past), plan_of(parts_of(routine)))
    assert abs(belief.total.median_s - 41) < 4
