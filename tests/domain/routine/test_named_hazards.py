"""What can hurt although no figure shows it: in a drink, its vessel, and wherever it is written."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.cautions import for_who_drinks
from server.domain.glass.steps import Agitate, Blend
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.named_hazards import hazards_of_drink, hazards_of_routine
from tests.factories import make_process, make_routine, make_segment

ICE = "dry ice"


def with_part(name):
    return make_routine(drinks=(Drink("d", "Sour", ingredients=(_part(name),)),))


def _part(name):
    return Ingredient("i", name, Amount(5, "g"))


@pytest.mark.parametrize(
    "routine",
    [
        with_part(f"{ICE}, crushed"),
        make_routine(drinks=(Drink("d", "Sour", method=f"Add {ICE}."),)),
        make_routine(segments=(make_segment("s1", hands=f"Drop {ICE} into the bowl."), "s2", "s3")),
        make_routine(processes=(make_process(fallback=f"Cool it with {ICE}."),)),
    ],
    ids=["ingredient", "method", "hands", "plan B"],
)
def test_a_hazard_is_named_wherever_it_is_written(routine):
    (found,) = hazards_of_routine(routine)
    assert ICE in repr(found).lower()


def test_a_hazard_written_twice_is_named_once():
    twice = Drink("d", "Sour", ingredients=(_part(ICE),), method=f"Add {ICE}.")
    assert len(hazards_of_routine(make_routine(drinks=(twice,)))) == 1
    assert hazards_of_routine(with_part("Lemon juice")) == ()


def codes(vessel):
    return [
        each.code for each in hazards_of_drink(Drink("d", "Mule", 1, (), service=Service(vessel)))
    ]


def test_a_vessel_of_copper_is_told_for_what_is_sour():
    # FDA Food Code 4-101.14: no copper where the pH is below 6.
    assert codes(Vessel("Mug", "copper")) == ["copper"]
    assert codes(Vessel("", "copper")) == ["copper"]
    assert codes(Vessel("Copper mug", "steel")) == ["copper"]


def test_a_lined_mug_or_another_vessel_is_no_hazard():
    assert codes(Vessel("Steel-lined copper mug", "steel")) == []
    assert codes(Vessel("Mug", "stoneware")) == []
    assert codes(None) == []


def test_a_step_that_blends_is_told_whatever_the_method_says():
    blended = Drink("d", "Gull", 1, (), steps=(Blend("b"),))
    assert [each.code for each in hazards_of_drink(blended)] == ["blender"]
    assert hazards_of_drink(Drink("d", "Gull", 1, (), steps=(Agitate("s", "shake"),))) == ()


def test_a_blender_is_for_the_hands_that_make_a_drink_not_for_who_drinks_it():
    blended = Drink("d", "Gull", 1, (), steps=(Blend("b"),))
    assert for_who_drinks(hazards_of_drink(blended)) == ()
