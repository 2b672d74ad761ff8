"""The fold of a run: worked cases shared with the browser's fold, and laws of any log."""

import random
from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from server.domain.routine.plan import layout
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.runs.clock import elapsed_times, in_order
from server.domain.runs.holding import counted, takeovers
from server.domain.runs.run import fold, outline_of
from tests.domain.run_logs import (
    CASES,
    OUTLINE,
    events_from,
    outline_from,
    random_log,
    state_document,
)
from tests.table import table

seeds = st.integers(min_value=0, max_value=2**32 - 1)


@table("case", CASES, ids=lambda case: case["name"])
def test_worked_case_folds_to_the_state_written_beside_it(case):
    state = fold(events_from(case["events"]), outline_from(case["outline"]))
    assert state_document(state) == case["expected"]


def test_cases_are_many_and_each_has_its_own_name():
    names = {case["name"] for case in CASES}
    assert len(names) == len(CASES) >= 20


@given(seeds, st.randoms(use_true_random=False))
def test_any_order_and_any_repetition_folds_to_the_same_state(seed, rng):
    events = list(events_from(random_log(seed)))
    again = events + rng.choices(events, k=len(events)) if events else []
    rng.shuffle(again)
    assert fold(again, OUTLINE) == fold(events, OUTLINE)


@given(seeds, st.integers(min_value=1, max_value=7))
def test_any_splitting_into_batches_folds_to_the_same_state(seed, size):
    documents = random_log(seed)
    batches = [documents[i : i + size] for i in range(0, len(documents), size)]
    received = [event for batch in reversed(batches) for event in events_from(batch)]
    assert fold(received, OUTLINE) == fold(events_from(documents), OUTLINE)


@given(seeds)
def test_time_never_runs_backwards_along_the_log(seed):
    log = in_order(events_from(random_log(seed)))
    times = elapsed_times(log)
    told = [event for event in log if not event.is_watched]
    valid = [
        event for event in counted(told, times) if event.kind not in ("note", "about", "retract")
    ]
    marks = [times[event.id] for event in valid if event.id in times]
    assert all(earlier <= later for earlier, later in pairwise(marks))


@given(seeds)
def test_undo_takes_back_exactly_the_last_mark_that_counted(seed):
    events = list(events_from(random_log(seed)))
    before = fold(events, OUTLINE)
    if before.undo_id is None or takeovers(in_order(events)):
        return
    last = max(event.seq for event in events)
    marked = next(event for event in events if event.id == before.undo_id)
    undo = replace(marked, id="undo", seq=last + 1, kind="retract", target_id=marked.id)
    after = fold([*events, undo], OUTLINE)
    assert after.undo_id != before.undo_id
    assert after == fold([*events, undo, replace(undo, id="again", seq=last + 2)], OUTLINE)


@given(seeds)
def test_a_note_moves_no_mark(seed):
    events = list(events_from(random_log(seed)))
    without = [event for event in events if event.kind != "note"]
    told, untold = fold(events, OUTLINE), fold(without, OUTLINE)
    assert (told.status, told.undo_id) == (untold.status, untold.undo_id)
    # A first event ties a page load to the run, so a note may do that; it never moves the marks
    # of the page load that started the run.
    if len({event.boot_id for event in events}) == 1:
        assert (told.ends_ms, told.total_ms) == (untold.ends_ms, untold.total_ms)


@given(seeds)
def test_one_who_watches_moves_no_mark_of_the_presenter(seed):
    events = list(events_from(random_log(seed)))
    alone = fold([event for event in events if not event.is_watched], OUTLINE)
    watched = fold(events, OUTLINE)
    assert (watched.status, watched.undo_id, watched.total_ms) == (
        alone.status,
        alone.undo_id,
        alone.total_ms,
    )
    assert (watched.ends_ms, watched.processes) == (alone.ends_ms, alone.processes)


def test_splits_of_a_fully_marked_run_add_up_to_its_total():
    case = next(case for case in CASES if case["name"].startswith("a whole run"))
    state = fold(events_from(case["events"]), outline_from(case["outline"]))
    assert sum(state.splits_ms) == state.total_ms


@given(seeds)
def test_no_segment_ever_took_less_than_no_time(seed):
    state = fold(events_from(random_log(seed)), OUTLINE)
    assert all(split_ms >= 0 for split_ms in state.splits_ms if split_ms is not None)


def test_outline_of_a_routine_follows_its_segments_and_processes():
    routine = Routine(
        id="r",
        name="Evening",
        rule_sheet_id="house",
        segments=(Segment("s1", "Grind", Spread(30)), Segment("s2", "Serve", Spread(60))),
        processes=(Process("p1", "Chill", Spread(20), "s1", None),),
    )
    outline = outline_of(routine)
    assert outline.segment_ids == tuple(p.segment.id for p in layout(routine).segments)
    assert [(link.id, link.after_segment_id) for link in outline.processes] == [("p1", "s1")]


def test_random_logs_reach_every_status():
    seen = {fold(events_from(random_log(seed)), OUTLINE).status for seed in range(300)}
    assert seen == {"waiting", "running", "finished", "abandoned"}


def test_log_is_put_in_order_by_seq_and_holds_each_id_once():
    events = list(events_from(random_log(11)))
    random.Random(1).shuffle(events)
    log = in_order(events)
    assert [event.seq for event in log] == sorted(event.seq for event in log)
    assert len({event.id for event in log}) == len(log)
