"""A serve from pouring to drinking, and the temperature that is named of it."""

import pytest

from server.domain.glass.balance import balance
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Service
from server.domain.routine.served import standing_of
from tests.domain.glass.recipes import line, own_line, recipe
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


def over_ice_in(vessel, *more, at_c=20.0):
    """Water over ice in a vessel, one minute long in a room of 20 °C."""
    served = Service(vessel, 20.0, None, "pour", "serve", over_ice=True)
    water = Substance(kind="water", temp_c=Figure(at_c))
    worked_out = balance(recipe(own_line("water", "100 ml", water), *more))
    return standing_of(Drink("d", "Water", service=served), worked_out, SEGMENTS)


def test_a_glass_that_comes_down_with_its_drink_melts_ice_too():
    # Energy balance by hand, 333.55 J/g: 300 g of glass (0.84 J/g K, handbook value) from 20 to
    # 0 °C give 5040 J, 15.1 g of ice; a glass at 0 °C would have taken that from the drink before.
    light, heavy = (over_ice_in(Vessel(mass_g=grams)).over_ice for grams in (1e-3, 300.0))
    more_g = heavy.melted_g.value - light.melted_g.value
    assert more_g == pytest.approx(300 * 0.84 * 20 / 333.55, abs=0.01)
    assert heavy.melted_g.high - light.melted_g.high >= more_g - 0.01


def test_where_no_ice_would_be_left_nothing_cold_is_told():
    # 100 g of water take 90 * 4.18 / 333.55 = 1.13 g of ice a gram from 90 to 0 °C: 113 g.
    found = over_ice_in(Vessel(mass_g=1e-3), line("ice", "60 g"), at_c=90.0)
    assert found.over_ice is None
    assert found.drunk is None
    assert any(why.startswith("Of the 60 g of ice in a glass none is left") for why in found.why)
    assert over_ice_in(Vessel(mass_g=1e-3), line("ice", "160 g"), at_c=90.0).over_ice
