"""Ice: what is not known is told so, no drink is colder than it can be, standing thins."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.base.amounts import Amount
from server.domain.glass.balance import balance
from server.domain.glass.figures import Content, Estimate, Figure
from server.domain.glass.heat import sugar_freezing_k
from server.domain.glass.liquid import freezes_at_c, plain_water, temp_c
from server.domain.glass.making import StepOutcome, step_change
from server.domain.glass.steps import Agitate, Bring, Ice
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Service
from server.domain.routine.over_ice import stood_over_ice
from server.domain.routine.served import standing_of
from server.domain.routine.standing import Stand
from tests.domain.glass.recipes import line, own_line, recipe
from tests.domain.shorthand import exactly, liquid_of
from tests.factories import make_segment

FEW = settings(deadline=None, max_examples=40)
COLD_GIN = Substance(kind="spirit", abv=Figure(40), sugar=Content(0), temp_c=Figure(20))
GIN = replace(COLD_GIN, temp_c=None)
CHILL = Ice("s", to_temp_c=0.0)


def test_ice_that_melts_nobody_knows_how_much_makes_volume_the_least():
    found = balance(recipe(own_line("gin", "60 ml", GIN), line("water", "30 ml"), steps=[CHILL]))
    volume = found.batch.volume_ml
    assert (round(volume.value), volume.lacks, volume.bound) == (90, ("gin",), "at least")
    assert any("none is counted" in notice for notice in found.notices)


def test_and_strength_the_most():
    found = balance(recipe(own_line("gin", "60 ml", GIN), line("water", "30 ml"), steps=[CHILL]))
    strength = found.batch.abv_percent
    assert (strength.lacks, strength.bound) == (("gin",), "at most")


def test_strength_is_unknown_where_an_ingredient_and_the_ice_are():
    mystery = own_line("house liqueur", "20 ml")
    found = balance(recipe(own_line("gin", "60 ml", GIN), mystery, steps=[CHILL]))
    assert found.batch.abv_percent is None
    assert found.batch.ethanol_g.bound == "at least"


def test_a_dash_whose_temperature_nobody_knows_does_not_hide_the_ice():
    dash = own_line("bitters", "1 ml", GIN)
    found = balance(recipe(own_line("gin", "60 ml", COLD_GIN), dash, steps=[CHILL]))
    assert found.batch.volume_ml.is_whole
    assert found.steps[0].added_g > 10


def test_ice_that_is_listed_without_a_step_leaves_no_figure_whole_that_it_changes():
    lines = [own_line("gin", "60 ml", COLD_GIN), line("ice", "200 g")]
    found = balance(recipe(*lines)).batch
    told = {name: getattr(found, name).bound for name in ("volume_ml", "abv_percent", "temp_c")}
    assert told == {"volume_ml": "at least", "abv_percent": "at most", "temp_c": "at most"}
    assert found.ethanol_g.is_whole
    shaken = balance(recipe(*lines, steps=[Agitate("s", "shake")])).batch
    assert shaken.volume_ml.is_whole


def test_ice_that_is_listed_and_stood_over_is_counted_when_it_is_drunk():
    segments = (make_segment("pour"), make_segment("rest"), make_segment("serve"))
    worked_out = balance(recipe(own_line("gin", "60 ml", COLD_GIN), line("ice", "200 g")))
    served = Service(None, 21.0, None, "pour", "serve", over_ice=True)
    over = standing_of(Drink("d", "Gin", service=served), worked_out, segments)
    assert over.over_ice.abv_percent.lacks == ("the vessel",)
    plain = Drink("d", "Gin", service=replace(served, over_ice=False))
    # The ice would make it colder, a glass nobody weighed warmer.
    assert standing_of(plain, worked_out, segments).drunk.bound == "about"


# 12 % sucrose freezes at -0.77 °C (Clarke, The Science of Ice Cream, figure 2.8); 10, 30 and 40 %
# at -0.63, -2.64 and -4.45 (CRC Handbook, concentrative properties, from memory).
@pytest.mark.parametrize(("percent", "lowered"), [(12, 0.77), (10, 0.63), (30, 2.64), (40, 4.45)])
def test_sugar_lowers_the_freezing_point(percent, lowered):
    assert sugar_freezing_k(percent, 100 - percent) == pytest.approx(lowered, abs=0.08)


@pytest.mark.parametrize("spread", [0.8, 1.0, 1.3])
def test_the_floor_is_the_freezing_point_of_the_thinned_drink_with_its_sugar(spread):
    sour = Substance(kind="liqueur", abv=Figure(20), sugar=Content(15), temp_c=Figure(20))
    change = step_change(
        Ice("s", -30.0, ice_c=-18.0), liquid_of(sour, Amount(100, "ml")), StepOutcome(spread)
    )
    assert temp_c(change.after) == pytest.approx(freezes_at_c(change.after), abs=0.01)


def test_a_temperature_that_ice_cannot_reach_is_told():
    drink = recipe(own_line("gin", "60 ml", COLD_GIN), line("water", "60 ml"))
    found = balance(replace(drink, steps=(Ice("s", -20.0, ice_c=-18.0),)))
    reached = found.batch.temp_c.value
    assert reached > -15
    assert [f"{reached:.1f} °C at the coldest".replace("-", "−") in n for n in found.notices] == [
        True
    ]


def test_a_temperature_that_ice_reaches_is_no_news():
    drink = recipe(own_line("gin", "60 ml", COLD_GIN), line("water", "60 ml"))
    assert balance(replace(drink, steps=(CHILL,))).notices == ()


def test_chilling_what_would_freeze_is_told():
    drink = recipe(line("water", "100 ml"), steps=[Bring("s", "chill", -5.0)])
    assert balance(drink).notices == ("It begins to freeze at 0.0 °C: at −5 °C part of it is ice.",)


def test_a_drink_over_ice_thins_by_the_heat_that_comes_in():
    # 100 g of water at 0 °C in a room of 20 °C, 0.04 a minute, 10 min: 0.04 x 418 J/K x 20 K x 10
    # = 3344 J melt 10.0 g (333.55 J/g).
    water = plain_water(100.0, temp_c=0.0)
    stood = stood_over_ice(water, exactly(0.0), Stand(600, 600, 600), Figure(20.0), Figure(0.04))
    assert stood.melted_g.value == pytest.approx(10.0, abs=0.05)
    assert stood.temp_c.value == 0.0


def test_a_drink_poured_warm_over_ice_melts_some_at_once():
    # 100 g from 20 to 0 °C: 25.06 g (333.55 J/g, 4.18 J/g K).
    warm = plain_water(100.0, temp_c=20.0)
    stood = stood_over_ice(warm, exactly(20.0), Stand(0, 0, 0), Figure(20.0), Figure(0.04))
    assert stood.melted_g.value == pytest.approx(25.06, abs=0.05)


def test_a_serve_over_ice_stays_cold_and_is_weaker_when_it_is_drunk():
    segments = (make_segment("pour"), make_segment("rest"), make_segment("serve"))
    worked_out = balance(recipe(own_line("gin", "60 ml", COLD_GIN), steps=[CHILL]))
    served = Service(None, 21.0, None, "pour", "serve", over_ice=True)
    found = standing_of(Drink("d", "Gin", service=served), worked_out, segments)
    assert found.drunk.value <= 0.0
    assert found.over_ice.abv_percent.value < worked_out.serve.abv_percent.value
    plain = standing_of(
        Drink("d", "Gin", service=replace(served, over_ice=False)), worked_out, segments
    )
    assert plain.drunk.value > 0.0
    assert plain.over_ice is None


@FEW
@given(st.floats(-5, 30), st.floats(0, 900), st.floats(1, 300), st.floats(0, 60))
def test_the_longer_over_ice_the_thinner(from_c, stand_s, more_s, abv):
    spirit = Substance(kind="spirit", abv=Figure(abv), sugar=Content(0), temp_c=Figure(from_c))
    serve = liquid_of(spirit, Amount(80, "ml"))

    def melted(at_s):
        poured = Estimate(from_c, from_c, from_c)
        stand = Stand(at_s, at_s, at_s)
        return stood_over_ice(serve, poured, stand, Figure(21.0), Figure(0.04)).melted_g

    sooner, later = melted(stand_s), melted(stand_s + more_s)
    assert sooner.low <= sooner.value <= sooner.high
    assert sooner.value < later.value


@FEW
@given(st.floats(0, 45), st.floats(0, 30), st.floats(0, 30))
def test_more_sugar_never_freezes_sooner(abv, sugar, more):
    def freezes(grams):
        kept = Substance(kind="liqueur", abv=Figure(abv), sugar=Content(grams))
        return freezes_at_c(liquid_of(kept, Amount(100, "ml")))

    assert freezes(sugar + more) <= freezes(sugar) + 1e-9
