"""What can hurt is found wherever a routine writes it down."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.named_hazards import hazards_of_routine
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
