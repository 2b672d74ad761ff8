"""What a recipe is taken to need made ahead."""

import pytest

from server.domain.glass.steps import Agitate, Layer
from server.domain.glass.vessel import Vessel
from server.domain.prepare.proposals import COLD_GLASS_C, proposals
from server.domain.routine.drink import Drink, Service
from tests.factories import make_routine

SHAKE, STIR, LAYER = Agitate("st1", "shake"), Agitate("st2", "stir"), Layer("st3")


def proposed(**changes):
    routine = make_routine(drinks=(Drink("d", "Sour", **changes),))
    return [each.makes for each in proposals(routine)]


@pytest.mark.parametrize(("steps", "ice"), [((), 0), ((LAYER,), 0), ((LAYER, SHAKE, STIR), 1)])
def test_ice_is_frozen_once_for_a_drink_of_which_any_step_needs_it(steps, ice):
    assert proposed(steps=steps) == ["ice"] * ice


@pytest.mark.parametrize(
    ("temp_c", "chilled"), [(None, 0), (COLD_GLASS_C, 0), (COLD_GLASS_C - 0.1, 1)]
)
def test_a_glass_colder_than_a_room_is_chilled_ahead(temp_c, chilled):
    served = Service(Vessel("glass", temp_c=temp_c))
    assert proposed(service=served) == ["glasses"] * chilled
