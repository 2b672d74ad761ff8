from dataclasses import replace
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput, NotFound
from server.domain.routine import edits
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet
from server.domain.runs.events import Event
from server.domain.whole.exchange import RunRecord, to_json
from server.domain.whole.routine_file import RoutineFile
from tests.domain.strategies import routines
from tests.table import table

PLUM = Ingredient("i1", "Plum", Amount(40, "ml"))
LEMON = Ingredient("i2", "Lemon", Amount(10, "ml"))
ROUTINE = Routine(
    id="r",
    name="Mine",
    rule_sheet_id="x",
    drinks=(Drink("d1", "First", ingredients=(PLUM, LEMON)), Drink("d2", "Second")),
    segments=(
        Segment("s1", "Start", Spread(60), drink_id="d1"),
        Segment("s2", "Build", Spread(90), drink_id="d2"),
        Segment("s3", "Serve", Spread(30)),
    ),
    processes=(Process("p1", "Drip", Spread(80), "s1", "s3"),),
)


def ids(parts):
    return [part.id for part in parts]


def test_a_changed_part_keeps_its_place():
    changed = edits.put_segment(ROUTINE, replace(ROUTINE.segments[1], name="Shake"))
    assert [segment.name for segment in changed.segments] == ["Start", "Shake", "Serve"]


def test_a_new_part_goes_to_the_end():
    longer = edits.put_segment(ROUTINE, Segment("s4", "Close", Spread(10)))
    assert ids(longer.segments) == ["s1", "s2", "s3", "s4"]
    assert ids(edits.put_drink(ROUTINE, Drink("d3", "Third")).drinks) == ["d1", "d2", "d3"]
    assert ids(edits.put_process(ROUTINE, Process("p2", "Chill", Spread(5))).processes) == [
        "p1",
        "p2",
    ]


@pytest.mark.parametrize(
    ("part_id", "to", "order"),
    [
        ("s1", 1, ["s2", "s1", "s3"]),
        ("s2", 0, ["s2", "s1", "s3"]),
        ("s2", 99, ["s1", "s3", "s2"]),
        ("s2", -5, ["s2", "s1", "s3"]),
    ],
)
def test_a_moved_part_stays_within_the_list(part_id, to, order):
    assert ids(edits.moved(ROUTINE.segments, part_id, to)) == order


def test_an_edit_leaves_the_routine_it_started_from_alone():
    before = to_json(ROUTINE)
    edits.remove_segment(ROUTINE, "s1")
    edits.move_drink(ROUTINE, "d2", 0)
    assert to_json(ROUTINE) == before


def test_a_move_that_would_close_a_circle_of_waiting_is_refused():
    with pytest.raises(InvalidInput) as refused:
        edits.move_segment(ROUTINE, "s3", 0)
    assert refused.value.faults[0].field == "before"


def test_a_process_loses_the_link_to_a_removed_segment_and_stays():
    (process,) = edits.remove_segment(ROUTINE, "s1").processes
    assert (process.id, process.after_segment_id, process.before_segment_id) == ("p1", None, "s3")
    (process,) = edits.remove_segment(ROUTINE, "s3").processes
    assert (process.after_segment_id, process.before_segment_id) == ("s1", None)


def test_segments_about_a_removed_drink_stay_and_are_about_none():
    left = edits.remove_drink(ROUTINE, "d1")
    assert ids(left.drinks) == ["d2"]
    assert [segment.drink_id for segment in left.segments] == [None, "d2", None]


def test_a_drink_that_comes_back_has_its_segments_and_its_process_again():
    drip = replace(ROUTINE.processes[0], product_id="i1", vessel_drink_id="d1")
    before = replace(ROUTINE, processes=(drip,))
    gone = edits.remove_drink(before, "d1")
    assert edits.give_drink_back(gone, "d1", before) == edits.move_drink(before, "d1", 1)


def test_what_was_decided_since_a_drink_went_stays_when_it_comes_back():
    served = replace(ROUTINE.drinks[0], service=Service(poured_segment_id="s3"))
    before = edits.put_drink(ROUTINE, served)
    gone = edits.remove_segment(edits.remove_drink(before, "d1"), "s3")
    told = edits.put_segment(gone, replace(gone.segments[0], drink_id="d2"))
    back = edits.give_drink_back(told, "d1", before)
    assert [segment.drink_id for segment in back.segments] == ["d2", "d2"]
    assert back.drinks[1].service.poured_segment_id is None


def test_ingredients_are_changed_moved_and_taken_out_within_their_drink():
    more = edits.put_ingredient(ROUTINE, "d1", replace(PLUM, amount=Amount(50, "ml")))
    assert more.drinks[0].ingredients[0].amount == Amount(50, "ml")
    assert ids(edits.move_ingredient(ROUTINE, "d1", "i2", 0).drinks[0].ingredients) == ["i2", "i1"]
    assert ids(edits.remove_ingredient(ROUTINE, "d1", "i1").drinks[0].ingredients) == ["i2"]


def test_a_process_can_be_taken_out():
    assert edits.remove_process(ROUTINE, "p1").processes == ()


@table(
    "edit",
    [
        lambda: edits.remove_segment(ROUTINE, "gone"),
        lambda: edits.move_segment(ROUTINE, "gone", 0),
        lambda: edits.remove_drink(ROUTINE, "gone"),
        lambda: edits.move_drink(ROUTINE, "gone", 0),
        lambda: edits.remove_process(ROUTINE, "gone"),
        lambda: edits.put_ingredient(ROUTINE, "gone", PLUM),
        lambda: edits.move_ingredient(ROUTINE, "d1", "gone", 0),
        lambda: edits.remove_ingredient(ROUTINE, "d2", "i1"),
    ],
)
def test_an_edit_of_a_part_that_is_not_there_is_not_found(edit):
    with pytest.raises(NotFound):
        edit()


def numbered(prefix):
    numbers = count()
    return lambda: f"{prefix}{next(numbers)}"


def test_references_follow_the_new_ids_of_a_copy():
    copy = edits.with_new_ids(ROUTINE, numbered("n"))
    assert copy.processes[0].after_segment_id == copy.segments[0].id
    assert copy.processes[0].before_segment_id == copy.segments[2].id
    assert copy.segments[1].drink_id == copy.drinks[1].id
    assert copy.rule_sheet_id == "x"


def test_a_copied_plan_keeps_its_routine_and_rules_together():
    rules = RuleSheet("x", "House")
    copy = edits.with_new_ids(Plan(ROUTINE, rules), numbered("n"))
    assert copy.routine.rule_sheet_id == copy.rules.id != "x"


def test_the_runs_of_a_copied_file_still_speak_of_its_segments():
    rules = RuleSheet("x", "House")
    done = Event("e1", "tablet", "boot", 0, "done", 1_790_000_000_000, 5.0, segment_id="s2")
    run = RunRecord("run", "k", 1_790_000_000_000, events=(done,))
    file = RoutineFile("ninefifty-routine", 1, ROUTINE, rules, {"k": Plan(ROUTINE, rules)}, (run,))
    copy = edits.with_new_ids(file, numbered("n"))
    assert copy.plans["k"].routine == copy.routine
    assert copy.runs[0].events[0].segment_id == copy.routine.segments[1].id != "s2"
    assert copy.runs[0].events[0].device_id == "tablet"


def test_ids_that_are_to_be_kept_stay_what_they_are():
    rules = RuleSheet("x", "House")
    copy = edits.with_new_ids(Plan(ROUTINE, rules), numbered("n"), keep={"x"})
    assert copy.routine.rule_sheet_id == copy.rules.id == "x"
    assert copy.routine.id != "r"


@given(routines())
def test_a_copy_differs_from_its_original_in_ids_alone(routine):
    copy = edits.with_new_ids(routine, numbered("new"))
    again = edits.with_new_ids(copy, numbered("same"))
    assert not set(edits._ids(copy)) & set(edits._ids(routine))
    assert again == edits.with_new_ids(routine, numbered("same"))


@given(routines(min_segments=1), st.data())
def test_moving_a_part_keeps_every_part_once(routine, data):
    part_id = data.draw(st.sampled_from(ids(routine.segments)))
    to = data.draw(st.integers(0, len(routine.segments) - 1))
    moved = edits.moved(routine.segments, part_id, to)
    assert sorted(ids(moved)) == sorted(ids(routine.segments))
    assert ids(moved)[to] == part_id
    assert edits.without(moved, part_id) == edits.without(routine.segments, part_id)


@given(routines(min_segments=1), st.data())
def test_a_routine_without_one_of_its_segments_is_still_a_routine(routine, data):
    part_id = data.draw(st.sampled_from(ids(routine.segments)))
    left = edits.remove_segment(routine, part_id)
    assert part_id not in ids(left.segments)
    assert len(left.processes) == len(routine.processes)


def test_links_between_segments_follow_new_ids():
    numbers = count()
    linked = edits.put_segment(
        ROUTINE, replace(ROUTINE.segments[2], after_segment_ids=("s1", "s2"))
    )
    copy = edits.with_new_ids(linked, lambda: f"n{next(numbers)}")
    assert copy.segments[2].after_segment_ids == tuple(ids(copy.segments[:2]))


def test_a_removed_segment_leaves_no_link_behind():
    linked = edits.put_segment(
        ROUTINE, replace(ROUTINE.segments[2], after_segment_ids=("s1", "s2"))
    )
    assert edits.remove_segment(linked, "s2").segments[-1].after_segment_ids == ("s1",)
