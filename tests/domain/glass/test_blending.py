"""Blending with ice: all of it stays, as slush at the freezing point of what is left between it."""

import math
from dataclasses import replace

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.cold.blending import blended, ice_to_blend_g
from server.domain.glass.cold.standing_ice import in_vessel, stood, with_heat
from server.domain.glass.figures import Content, Figure
from server.domain.glass.heat import MELTING_J_PER_G, WATER_J_PER_GK
from server.domain.glass.liquid import (
    ethanol_fraction,
    freezes_at_c,
    ice,
    mass_g,
    plain_water,
    slush_of,
    temp_c,
    thawed_c,
    total,
    warmed,
)
from server.domain.glass.making import step_change
from server.domain.glass.origin import origin_in_glass
from server.domain.glass.scaling import Batch, scaled_recipe
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Ice, Layer, Rest
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Service
from server.domain.routine.served import standing_of
from server.domain.routine.standing import stood_temp_c
from tests.domain.glass.recipes import line, own_line, recipe
from tests.domain.shorthand import liquid_of
from tests.factories import make_segment

LAW = settings(deadline=None, max_examples=60)
RUM = Substance(kind="spirit", abv=Figure(40), sugar=Content(0), temp_c=Figure(20))
SYRUP = Substance(kind="syrup", sugar=Content(60), acid=Content(0), temp_c=Figure(20))
WATER = Substance(kind="water", temp_c=Figure(20))
SOUR = (own_line("rum", "60 ml", RUM), own_line("syrup", "20 ml", SYRUP),
        own_line("water", "40 ml", WATER))  # fmt: skip
TWO_HUNDRED = Blend("b", Figure(200.0))


def poured(rum_ml, syrup_ml, water_ml, at_c):
    """A drink of these at one temperature."""
    parts = [liquid_of(what, Amount(ml, "ml")) for what, ml in
             ((RUM, rum_ml), (SYRUP, syrup_ml), (WATER, water_ml))]  # fmt: skip
    return warmed(total(parts), at_c)


# Far from where all but a trace of the water would be ice.
drinks = st.builds(
    poured, st.floats(20, 90), st.floats(0, 60), st.floats(20, 200), st.floats(0, 40)
)
ices = st.builds(ice, st.floats(1, 300), st.floats(-25, 0))


# 25.06 g take 100 g of water from 20 to 0 °C: 4.18 J/g K and 333.55 J/g, common textbook values
# (IAPWS-06 has 333.42 for the latent heat).
def test_water_and_ice_come_to_zero_and_what_melts_is_what_textbooks_say():
    slush = slush_of(blended(plain_water(100.0, temp_c=20.0), ice(100.0, 0.0), 0.0))
    assert slush.temp_c == 0.0
    assert slush.ice_g == pytest.approx(100 - 25.06, abs=0.05)


# Freezing points of ethanol and water by Melinder's fit, asked of CoolProp itself.
@pytest.mark.parametrize(("rum_ml", "ice_g"), [(60, 150), (90, 200), (45, 300), (90, 90)])
def test_the_liquid_of_a_slush_is_as_strong_as_freezes_there_by_the_published_curve(rum_ml, ice_g):
    slush = slush_of(blended(poured(rum_ml, 0, 30, 20), ice(ice_g, -10.0), 0.0))
    fraction = ethanol_fraction(slush.liquid)
    published_c = PropsSI("T_freeze", "T", 300, "P", 101325, f"INCOMP::MEA[{fraction}]") - 273.15
    assert slush.ice_g > 20
    assert slush.temp_c == pytest.approx(published_c, abs=0.3)


# CRC Handbook of Chemistry and Physics, sucrose in water: 20 % by mass freezes at -1.46 °C,
# 30 % at -2.63 °C, as the table is commonly cited (from memory).
@pytest.mark.parametrize(("brix", "freezes_c"), [(20, -1.46), (30, -2.63)])
def test_a_slush_without_alcohol_is_as_sweet_as_freezes_there(brix, freezes_c):
    water = warmed(plain_water(100.0 - brix), 0.0)
    sweet = warmed(water._replace(sugar_g=brix, solids_g=brix), freezes_c)
    slush = slush_of(blended(sweet, ice(50.0, freezes_c), 0.0))
    assert slush.temp_c == pytest.approx(freezes_c, abs=0.15)
    assert slush.ice_g == pytest.approx(50.0, abs=1.0)


@LAW
@given(drinks, ices, st.floats(0, 60))
def test_mass_and_heat_are_kept(drink, frozen, heat_j_per_g):
    after = blended(drink, frozen, heat_j_per_g)
    slush = slush_of(after)
    assert mass_g(slush.liquid) + slush.ice_g == pytest.approx(mass_g(drink) + mass_g(frozen))
    assert slush.liquid.sugar_g == drink.sugar_g
    assert slush.liquid.ethanol_g == drink.ethanol_g
    brought_j = heat_j_per_g * mass_g(after)
    apart = ice(slush.ice_g, slush.temp_c)
    assert slush.liquid.heat_j + apart.heat_j == pytest.approx(
        drink.heat_j + frozen.heat_j + brought_j, abs=1e-3
    )
    # The liquid between the ice has the temperature of both, by its own heat.
    assert thawed_c(slush.liquid) == pytest.approx(slush.temp_c, abs=1e-6)


@LAW
@given(drinks, ices)
def test_ice_is_left_just_where_what_is_left_begins_to_freeze(drink, frozen):
    slush = slush_of(blended(drink, frozen, 0.0))
    assert 0 <= slush.ice_g <= mass_g(frozen) + drink.water_g
    if slush.ice_g > 0:
        assert slush.temp_c == pytest.approx(freezes_at_c(slush.liquid), abs=1e-9)
    else:
        assert slush.temp_c >= freezes_at_c(slush.liquid)


@LAW
@given(drinks, st.floats(1, 150), st.floats(1, 150), st.floats(-25, 0))
def test_more_ice_never_warms_unless_it_is_warmer_than_the_slush(drink, grams, more, ice_c):
    first, second = (blended(drink, ice(each, ice_c), 0.0) for each in (grams, grams + more))
    if slush_of(first).ice_g == 0 or ice_c <= temp_c(first):
        limit_c = temp_c(first)
        # It may pass the coldest there is on its way to one that is warmer again.
        if slush_of(second).ice_g == 0 or ice_c <= temp_c(second):
            assert temp_c(second) <= limit_c + 1e-6
    assert slush_of(second).ice_g >= slush_of(first).ice_g - 1e-6


@LAW
@given(drinks, ices, st.floats(0, 30_000), st.floats(0, 30_000))
def test_heat_melts_and_never_cools(drink, frozen, some_j, more_j):
    after = blended(drink, frozen, 0.0)
    cold, warm = with_heat(after, some_j), with_heat(after, some_j + more_j)
    assert temp_c(warm) >= temp_c(cold) - 1e-6
    assert slush_of(warm).ice_g <= slush_of(cold).ice_g + 1e-6


@LAW
@given(drinks, ices, ices)
def test_ice_in_two_goes_comes_to_the_same_as_at_once(drink, first, second):
    in_two = blended(blended(drink, first, 0.0), second, 0.0)
    at_once = blended(drink, total([first, second]), 0.0)
    assert temp_c(in_two) == pytest.approx(temp_c(at_once), abs=0.02)


def test_all_of_the_ice_is_in_the_drink():
    found = balance(recipe(*SOUR, steps=[TWO_HUNDRED])).batch
    before = balance(recipe(*SOUR)).batch
    assert found.mass_g.value == pytest.approx(before.mass_g.value + 200)
    assert found.ethanol_g.value == pytest.approx(before.ethanol_g.value)
    thinned = balance(recipe(*SOUR, own_line("melted", "200 g", WATER))).batch
    assert found.abv_percent.value == pytest.approx(thinned.abv_percent.value)
    assert found.volume_ml.value == pytest.approx(thinned.volume_ml.value)
    assert found.volume_ml.is_whole
    assert found.temp_c.is_whole


def test_a_slush_is_told_by_its_ice_and_by_what_is_between_it():
    found = balance(recipe(*SOUR, serves=2, steps=[TWO_HUNDRED]))
    assert 80 < found.batch.ice_g.value < 200
    assert found.serve.ice_g.value == pytest.approx(found.batch.ice_g.value / 2)
    assert found.serve.liquid_abv_percent.value > 1.5 * found.serve.abv_percent.value
    # Ice takes more room than the water of it: IAPWS-06, 0.9167 g/ml.
    more_ml = found.batch.slush_ml.value - found.batch.volume_ml.value
    assert more_ml == pytest.approx(found.batch.ice_g.value * (1 / 0.9167 - 1 / 0.9982), abs=2.5)
    assert found.batch.temp_c.value < -3
    assert found.notices == ()


def test_a_drink_that_nothing_is_blended_into_has_no_such_figures():
    found = balance(recipe(*SOUR, steps=[Agitate("s", "shake")])).serve
    assert (found.ice_g, found.slush_ml, found.liquid_abv_percent) == (None, None, None)


def test_the_ranges_hold_blades_jar_kind_of_sugar_and_the_scale():
    found = balance(recipe(*SOUR, steps=[TWO_HUNDRED])).batch
    for figure in (found.ice_g, found.liquid_abv_percent, found.temp_c):
        assert figure.low < figure.value < figure.high
    # What is in it in all does not hang on how much has melted.
    assert found.abv_percent.high - found.abv_percent.low < 0.01
    unsure = balance(recipe(*SOUR, steps=[Blend("b", Figure(200.0, 150.0, 250.0))])).batch
    assert unsure.abv_percent.high - unsure.abv_percent.low > 1
    assert unsure.ice_g.high - unsure.ice_g.low > found.ice_g.high - found.ice_g.low


def test_sugar_that_may_be_fructose_freezes_lower():
    sweet = (own_line("syrup", "60 ml", SYRUP), own_line("water", "60 ml", WATER))
    found = balance(recipe(*sweet, steps=[Blend("b", Figure(150.0))])).batch.temp_c
    assert found.low < 1.7 * found.value < 0


def test_a_little_ice_all_melts_and_that_is_told():
    found = balance(recipe(*SOUR, steps=[Blend("b", Figure(5.0))]))
    assert found.batch.ice_g.value == 0
    assert found.batch.temp_c.value > 5
    assert ["All of the ice melts" in each for each in found.notices] == [True]


def test_ice_that_nobody_weighed_makes_volume_the_least_and_strength_the_most():
    found = balance(recipe(*SOUR, steps=[Blend("b")]))
    told = {name: getattr(found.batch, name).bound for name in ("volume_ml", "abv_percent")}
    assert told == {"volume_ml": "at least", "abv_percent": "at most"}
    assert found.batch.temp_c.bound == "at most"
    assert found.batch.ice_g is None
    assert found.batch.ethanol_g.is_whole
    assert any("How much ice is blended in is not known" in each for each in found.notices)


def test_the_ice_that_is_listed_is_what_is_blended():
    listed = balance(recipe(*SOUR, line("ice", "200 g"), steps=[Blend("b")]))
    assert listed.batch == balance(recipe(*SOUR, steps=[TWO_HUNDRED])).batch
    assert listed.notices == ()


def test_but_not_ice_that_goes_in_later_nor_what_has_no_weight():
    layer = Layer("l")
    late = replace(line("ice", "200 g"), after_step_id="l")
    assert balance(recipe(*SOUR, late, steps=[Blend("b"), layer])).batch.ice_g is None
    early = balance(recipe(*SOUR, late, steps=[layer, Blend("b")])).batch
    assert early.ice_g.value > 50
    scoop = balance(recipe(*SOUR, line("ice", "3 pieces"), steps=[Blend("b")]))
    assert "Ice" in scoop.batch.volume_ml.lacks


def test_listed_ice_goes_into_one_blender_once():
    steps = [Blend("a"), Blend("b")]
    found = balance(recipe(*SOUR, line("ice", "100 g"), steps=steps))
    assert [round(note.added_g) for note in found.steps] == [100, 0]


def test_a_temperature_that_nobody_knows_leaves_the_ice_untold_and_the_volume_whole():
    cold = own_line("rum", "60 ml", replace(RUM, temp_c=None))
    found = balance(recipe(cold, *SOUR[1:], steps=[TWO_HUNDRED]))
    assert (found.batch.temp_c, found.batch.ice_g) == (None, None)
    assert found.batch.volume_ml.is_whole
    assert found.batch.abv_percent.is_whole
    assert any("How much of the ice stays is not known" in each for each in found.notices)


@pytest.mark.parametrize("unknown", ["abv", "sugar"])
def test_what_is_not_known_of_a_part_leaves_open_where_it_freezes(unknown):
    part = replace(RUM, kind="other", allergens=(), acid=Content(0), **{unknown: None})
    found = balance(recipe(own_line("mystery", "60 ml", part), *SOUR, steps=[TWO_HUNDRED])).batch
    assert found.temp_c.bound == "about"
    assert found.ice_g.lacks == ("mystery",)


@pytest.mark.parametrize(
    ("wish_c", "told"),
    [
        (-3.0, "asks for about"),
        (-3.0, "all of which melts"),
        (-40.0, "no amount of that ice"),
        (30.0, "no amount of that ice"),
    ],
)
def test_a_temperature_that_the_ice_does_not_make_is_told(wish_c, told):
    (notice,) = balance(recipe(*SOUR, steps=[replace(TWO_HUNDRED, to_temp_c=wish_c)])).notices
    assert told in notice
    assert notice.startswith("It comes to −")


def test_the_ice_that_a_wish_asks_for_meets_it():
    before = poured(60, 20, 40, 20)
    grams = ice_to_blend_g(before, -2.0, -5.0)
    asked = [Blend("b", Figure(grams), to_temp_c=-2.0)]
    assert balance(recipe(*SOUR, steps=asked)).notices == () or grams < 200
    assert temp_c(blended(before, ice(grams, -5.0), 25.0)) == pytest.approx(-2.0, abs=0.01)


def test_what_comes_after_finds_a_slush():
    slush = step_change(TWO_HUNDRED, poured(60, 20, 40, 20)).after
    left_g, at_c = slush_of(slush).ice_g, temp_c(slush)
    assert step_change(Ice("i", at_c - 5), slush).after == slush
    assert temp_c(step_change(Bring("h", "heat", 50.0), slush).after) == pytest.approx(50.0)
    half = step_change(Filter("f", loss_percent=Figure(50)), slush).after
    assert slush_of(half).ice_g == pytest.approx(left_g / 2)
    assert temp_c(half) == pytest.approx(at_c)
    rested = step_change(Rest("r", Figure(3.0)), slush).after
    assert 0 < slush_of(rested).ice_g < left_g
    assert at_c < temp_c(rested) < 0
    shaken = step_change(Agitate("s", "shake", Figure(10)), slush).after
    assert temp_c(shaken) == pytest.approx(at_c, abs=0.5)


@LAW
@given(drinks, ices, st.floats(0, 400), st.floats(0, 400))
def test_a_slush_that_stands_melts_and_then_warms_to_the_room(drink, frozen, minutes, more):
    slush = blended(drink, frozen, 0.0)
    first, second = (stood(slush, 21.0, 0.05, each) for each in (minutes, minutes + more))
    low_c, high_c = sorted((temp_c(slush), 21.0))
    assert low_c - 1e-6 <= temp_c(first) <= high_c + 1e-6
    assert slush_of(second).ice_g <= slush_of(first).ice_g + 1e-6
    if temp_c(slush) < 21.0:
        assert temp_c(second) >= temp_c(first) - 1e-6


def test_a_slush_takes_as_long_to_melt_as_the_heat_that_comes_in_says():
    # k C (room - drink) by hand: 0.05 a minute, 836 J/K, 20 K, 50 g of ice at 333.55 J/g.
    slush = blended(plain_water(150.0, temp_c=0.0), ice(50.0, 0.0), 0.0)
    melts_min = 50 * MELTING_J_PER_G / (0.05 * 200 * WATER_J_PER_GK * 20)
    assert slush_of(stood(slush, 20.0, 0.05, 0.99 * melts_min)).ice_g == pytest.approx(0.5, abs=0.1)
    late = stood(slush, 20.0, 0.05, 1.2 * melts_min)
    assert slush_of(late).ice_g == 0
    assert temp_c(late) == pytest.approx(20 - 20 * math.exp(-0.05 * 0.2 * melts_min), abs=0.01)


def test_a_warm_vessel_melts_some_of_it():
    slush = blended(plain_water(100.0, temp_c=0.0), ice(100.0, 0.0), 0.0)
    after = in_vessel(slush, 200.0, 20.0)
    # 200 J/K from 20 to 0 °C: 4000 J at 333.55 J/g.
    assert slush_of(after).ice_g == pytest.approx(100 - 4000 / 333.55, abs=0.01)
    assert temp_c(after) == pytest.approx(0.0, abs=1e-6)


SEGMENTS = (make_segment("pour"), make_segment("rest"), make_segment("serve"))
DAWN = Drink("d", "Dawn", 1, steps=(TWO_HUNDRED,), service=Service(
    Vessel("tumbler", mass_g=250), poured_segment_id="pour", drunk_segment_id="serve"
))  # fmt: skip


def test_a_serve_of_slush_is_cold_while_it_has_ice():
    worked_out = balance(recipe(*SOUR, steps=[TWO_HUNDRED]))
    standing = standing_of(DAWN, worked_out, SEGMENTS)
    assert worked_out.serve.temp_c.value < standing.poured.value < standing.drunk.value < 0
    without_ice = stood_temp_c(standing.poured, standing.stand, Figure(21), standing.cooling)
    assert standing.drunk.value < without_ice.value
    assert 0 < standing.ice_drunk_g.value < worked_out.serve.ice_g.value
    assert standing.drunk.low <= standing.drunk.value <= standing.drunk.high
    melted = balance(recipe(*SOUR, steps=[Blend("b", Figure(5.0))]))
    assert standing_of(DAWN, melted, SEGMENTS).slush is None


def test_a_larger_batch_is_blended_with_as_much_more_ice():
    (step,) = scaled_recipe(recipe(*SOUR, steps=[TWO_HUNDRED]), Batch(serves=3)).recipe.steps
    assert step.ice_g.value == pytest.approx(600)


def test_where_its_figures_come_from():
    drink = recipe(*SOUR, line("ice", "200 g"), steps=[Blend("b")])
    inputs = origin_in_glass(balance(drink), drink.ingredients, drink.steps, "ice_g").inputs
    told = [(each.about, each.told) for each in inputs if each.of == "Blending with ice"]
    assert told == [
        ("ice", "200 g"), ("ice at", "−5 (−18 to 0) °C"),
        ("blades and jar bring", "25 (0–60) J a gram"),
    ]  # fmt: skip
    # Nobody gave either of them: no source stands for a usual value.
    unsure = [each.source for each in inputs if each.of == "Blending with ice"][1:]
    assert all(each.is_unsure and each.words.startswith("typical, no source;") for each in unsure)


def test_the_temperature_of_a_slush_rests_on_its_alcohol_and_sugar():
    # By Melinder's freezing points: the more of both, the colder it stands.
    drink = recipe(*SOUR, steps=[TWO_HUNDRED])
    origin = origin_in_glass(balance(drink), drink.ingredients, drink.steps, "temp_c")
    assert "begins to freeze" in origin.formula.words
    assert {"strength", "sugar", "temperature"} <= {each.about for each in origin.inputs}
    warm = recipe(*SOUR, steps=[Agitate("s", "shake")])
    plain = origin_in_glass(balance(warm), warm.ingredients, warm.steps, "temp_c")
    assert "strength" not in {each.about for each in plain.inputs}


def test_ice_is_as_cold_as_it_is_listed_where_the_step_does_not_say():
    freezer = own_line("ice", "200 g", Substance(kind="ice", temp_c=Figure(-18.0)))
    listed = balance(recipe(*SOUR, freezer, steps=[Blend("b")]))
    in_step = balance(recipe(*SOUR, line("ice", "200 g"), steps=[Blend("b", ice_c=-18.0)]))
    own = balance(recipe(*SOUR, freezer, steps=[Blend("b", ice_c=-9.0)]))
    # Energy balance by hand: 13 K more in 200 g of ice, 2.06 J/g K by 333.55 J/g, keep 16 g of it
    # from melting; the drink then is stronger and colder, which takes a little of that.
    usual = balance(recipe(*SOUR, line("ice", "200 g"), steps=[Blend("b")])).batch.ice_g
    assert listed.batch.ice_g.value == pytest.approx(in_step.batch.ice_g.value)
    assert listed.batch.ice_g.value - usual.value == pytest.approx(16.1, abs=2.0)
    assert usual.value < own.batch.ice_g.value < listed.batch.ice_g.value
    assert usual.high > listed.batch.ice_g.value


def test_ice_that_is_listed_at_just_the_usual_temperature_was_measured():
    listed = own_line("ice", "200 g", Substance(kind="ice", temp_c=Figure(-5.0)))
    measured, told, usual = (
        balance(recipe(*SOUR, ice, steps=[step])).batch.ice_g
        for ice, step in (
            (listed, Blend("b")),
            (line("ice", "200 g"), Blend("b", ice_measured=True)),
            (line("ice", "200 g"), Blend("b")),
        )
    )
    assert measured == told
    assert measured.high < usual.high


# 120 ml of rum, 60 ml of lime juice, 60 ml of syrup and 300 g of ice, worked out beside with SciPy
# and CoolProp's MEA (capacities, freezing points), 1.86 K kg/mol for sugar and excess enthalpies
# as remembered: grams of ice left for heat of the blades (J/g) and temperature of the ice.
def test_the_range_of_a_slush_holds_what_others_find_at_its_ends():
    slush = recipe(
        line("rum-white-40", "120 ml"),
        line("lime-juice", "60 ml"),
        line("syrup-1-1", "60 ml"),
        line("ice", "300 g"),
        steps=[Blend("b")],
    )
    found = balance(slush).batch
    assert found.ice_g.value == pytest.approx(179.0, abs=4.0)
    for ice_g in (238.6, 217.0, 201.3, 172.0, 124.5, 115.7):
        assert found.ice_g.low <= ice_g <= found.ice_g.high
    assert found.liquid_abv_percent.value == pytest.approx(13.3, abs=0.4)
    assert found.temp_c.value == pytest.approx(-5.95, abs=0.3)


def test_ice_that_a_step_blends_is_weighed_in_a_batch_too():
    # 100 g for one serve are 1 kg for ten; a scale that reads to 30 g weighs 990 g, 1 % less.
    drink = recipe(*SOUR, steps=[Blend("b", Figure(100.0))])
    scaled = scaled_recipe(drink, Batch(10, loss_percent=0, scale_g=30))
    (ice_line,) = [each for each in scaled.lines if each.name == "Ice to blend"]
    assert (ice_line.exact.words, ice_line.measure.words) == ("1000 g", "990 g")
    assert ice_line.error_percent == pytest.approx(-1.0)
    assert scaled.measured_recipe.steps[0].ice_g.value == pytest.approx(990.0)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Blend("b", Figure(0.0)),
        lambda: Blend("b", Figure(-5.0)),
        lambda: Blend("b", Figure(200_000.0)),
        lambda: Blend("b", ice_c=1.0),
        lambda: Blend("b", to_temp_c=200.0),
    ],
)
def test_what_no_blending_can_be_is_refused(wrong):
    with pytest.raises(InvalidInput):
        wrong()
