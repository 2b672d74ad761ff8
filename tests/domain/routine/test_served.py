"""A serve from pouring to drinking, and the temperature that is named of it."""

import pytest

from server.domain.glass.balance import balance
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Service
from server.domain.routine.served import standing_of
from tests.domain.glass.recipes import own_line, recipe
from tests.factories import make_segment

SEGMENTS = (make_segment("pour"), make_segment("serve"))


@pytest.mark.parametrize(
    ("stated_c", "agrees"), [(18.99, False), (19.01, True), (20.99, True), (21.01, False)]
)
def test_a_named_temperature_may_be_off_by_a_degree_of_the_thermometer(stated_c, agrees):
    """Water at 20 °C in a room of 20 °C stays at that."""
    served = Service(Vessel(mass_g=100), 20.0, stated_c, "pour", "serve")
    water = Substance(kind="water", temp_c=Figure(20.0))
    worked_out = balance(recipe(own_line("water", "100 ml", water)))
    found = standing_of(Drink("d", "Water", service=served), worked_out, SEGMENTS)
    assert found.drunk.low == pytest.approx(20) == found.drunk.high
    assert found.agrees is agrees


def test_over_ice_in_a_glass_of_unknown_weight_nothing_is_told_as_the_least():
    """The glass may cool it or warm it: by the energy balance it goes either way."""
    served = Service(Vessel("tumbler"), 20.0, None, "pour", "serve", over_ice=True)
    gin = Substance(kind="spirit", abv=Figure(40.0), temp_c=Figure(5.0))
    worked_out = balance(recipe(own_line("gin", "60 ml", gin)))
    found = standing_of(Drink("d", "Gin", service=served), worked_out, SEGMENTS)
    assert found.over_ice is not None
    figures = (found.drunk, *found.over_ice)
    assert [each.bound for each in figures] == ["about"] * 5
