"""What an edit touched is named, so that a page can show it."""

from dataclasses import replace

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.edits import (
    copy_drink,
    move_segment,
    put_ingredient,
    put_segment,
    remove_segment,
)
from server.domain.routine.touched import touched
from tests.factories import make_routine, make_segment

DRINK = Drink("d1", "Tide", ingredients=(Ingredient("i1", "Pear", Amount(30, "ml")),))
ROUTINE = make_routine(segments=(make_segment("s1"), make_segment("s2")), drinks=(DRINK,))


def test_a_changed_part_is_named_with_its_kind():
    after = put_segment(ROUTINE, replace(ROUTINE.segments[1], name="Pour"))
    assert touched(ROUTINE, after) == ("segment-s2",)


def test_a_part_that_comes_back_goes_before_those_that_it_changed():
    linked = put_segment(ROUTINE, replace(ROUTINE.segments[1], after_segment_ids=("s1",)))
    assert touched(remove_segment(linked, "s1"), linked) == ("segment-s1", "segment-s2")


def test_what_was_moved_or_taken_out_is_not_touched():
    assert touched(ROUTINE, move_segment(ROUTINE, "s2", 0)) == ()
    assert touched(ROUTINE, remove_segment(ROUTINE, "s1")) == ()


def test_a_changed_ingredient_is_touched_and_its_drink_is_not():
    after = put_ingredient(ROUTINE, "d1", replace(DRINK.ingredients[0], name="Honey"))
    assert touched(ROUTINE, after) == ("ingredient-i1",)


def test_a_copied_drink_is_named_before_its_ingredients():
    names = iter(("d2", "i2"))
    after = copy_drink(ROUTINE, "d1", "Again", lambda: next(names))
    assert touched(ROUTINE, after) == ("drink-d2", "ingredient-i2")
