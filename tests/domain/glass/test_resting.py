"""What is mixed first and stands: it keeps the heat of mixing and moves towards the room."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.figures import Figure
from server.domain.glass.liquid import freezes_at_c, temp_c, warmed
from server.domain.glass.steps import Agitate, Rest
from tests.domain.glass.recipes import line, recipe

LONG = Rest("r", Figure(20.0, 15.0, 25.0))


def mixed(*steps):
    return balance(recipe(line("vodka-40", "100 ml"), line("water", "100 ml"), steps=steps))


def test_what_spirit_and_water_gain_is_lost_by_newtons_law_as_it_stands():
    # 200 ml above 150 ml: k = 0.04 a minute, likely; T = room + (T0 - room) exp(-k t).
    warm, stood = mixed().serve.temp_c.value, mixed(LONG).serve.temp_c.value
    assert stood == pytest.approx(21 + (warm - 21) * math.exp(-0.04 * 20), abs=0.01)


def test_what_stands_before_the_ice_melts_less_of_it_when_it_has_cooled():
    at_once, later = mixed(Agitate("s", "stir")), mixed(LONG, Agitate("s", "stir"))
    assert later.serve.temp_c.value < at_once.serve.temp_c.value


@given(st.floats(0.5, 600), st.floats(1.01, 2))
def test_the_longer_it_stands_the_nearer_it_is_to_the_room(minutes, longer):
    def away(stands):
        hot = recipe(line("hot-water", "200 ml"), steps=(Rest("r", Figure(stands)),))
        return abs(balance(hot).serve.temp_c.value - 21)

    assert away(minutes * longer) <= away(minutes) + 1e-9


def test_standing_changes_nothing_but_the_temperature():
    before, after = mixed().batch, mixed(LONG).batch
    assert after.volume_ml.value == pytest.approx(before.volume_ml.value)
    assert after.abv_percent.value == pytest.approx(before.abv_percent.value)


@pytest.mark.parametrize("minutes", [Figure(0.0), Figure(1441.0), Figure(2000.0, 1.0, 3000.0)])
def test_a_drink_stands_for_some_minutes_up_to_a_day(minutes):
    with pytest.raises(InvalidInput, match="minutes"):
        Rest("r", minutes)


def test_no_range_says_that_ice_takes_a_drink_below_where_it_freezes():
    # Several doubts at once would add up to -8.8 °C; its own ice stops it at about -7.5.
    sour = recipe(
        line("gin-40", "60 ml"), line("lime-juice", "30 ml"), line("syrup-1-1", "30 ml"),
        steps=(Agitate("s", "shake"),),
    )  # fmt: skip
    found = balance(sour)
    coldest = freezes_at_c(warmed(found.serve_liquid, 0.0))
    assert coldest - 0.5 <= found.serve.temp_c.low <= temp_c(found.serve_liquid)


def test_a_pinch_of_salt_keeps_no_figure_but_the_weight_from_being_whole():
    found = balance(recipe(line("gin-40", "50 ml"), line("salt", "1 pinch"))).serve
    assert found.abv_percent.is_whole
    assert found.volume_ml.is_whole
    assert found.energy_kcal.is_whole
    assert not found.mass_g.is_whole
