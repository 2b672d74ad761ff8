"""The balance of a drink: sums, ranges, what is missing."""

import math
from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import CannotTell
from server.domain.glass.alcohol import Pour, density_g_per_l, mass_fraction_of, mixed
from server.domain.glass.balance import balance
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.library import library
from server.domain.glass.liquid import mass_g
from server.domain.glass.recipe import RecipeLine
from server.domain.glass.steps import Agitate, Bring
from server.domain.glass.substance import Cost, Substance
from server.domain.glass.sugar import density_g_per_l as syrup_g_per_l
from server.domain.glass.totals import energy_kcal
from tests.domain.glass.recipes import line, own_line, recipe
from tests.domain.shorthand import brix_of_g_per_litre, liquid_of
from tests.table import table


def spirit(abv):
    return Substance(
        kind="spirit", abv=Figure(abv), sugar=Content(0), acid=Content(0), temp_c=Figure(20)
    )


LEMON = own_line("lemon", "20 ml", kind="juice", sugar=Content(2.52, per="100 g"),
                 acid=Content(4.8, 4.418, 5.182), temp_c=Figure(5), allergens=())  # fmt: skip
"""As assayed by Penniston et al., J. Endourol. 22, 567 (2008): 48.0 g/l, SD 3.82."""

LIME = own_line("lime", "20 ml", kind="juice", sugar=Content(1.69, per="100 g"), ph=Figure(2.2),
                acid=Content(4.586), temp_c=Figure(5), allergens=())  # fmt: skip
"""From there as well: 45.86 g/l."""


def test_an_empty_drink_is_refused():
    with pytest.raises(CannotTell, match="empty drink"):
        balance(recipe())


# OIML R 22, as for spirits alone: ml, %, ml of water, volume and strength together.
@pytest.mark.parametrize(
    ("ml", "abv", "water", "volume", "strength"),
    [(50, 40, 50, 99.956, 20.009), (60, 40, 30, 89.870, 26.705), (500, 57, 500, 992.90, 28.704)],
)
def test_spirit_and_water_contract_as_in_the_tables(ml, abv, water, volume, strength):
    found = balance(
        recipe(own_line("spirit", f"{ml} ml", spirit(abv)), line("water", f"{water} ml"))
    ).batch
    assert found.volume_ml.value == pytest.approx(volume, abs=0.02)
    assert found.abv_percent.value == pytest.approx(strength, abs=0.02)
    assert found.contraction_ml.value == pytest.approx(ml + water - volume, abs=0.02)


def test_worked_drink_stays_within_half_a_point_of_the_additive_rule():
    # sum(v x abv) / V: 19.571 % of 105 ml; OIML R 22 allows 0.5 points below 63 %.
    found = balance(
        recipe(
            own_line("spirit", "45 ml", spirit(40)), line("dry-sherry-15", "15 ml"),
            line("lime-juice", "30 ml"), line("syrup-1-1", "15 ml"),
        )
    ).batch  # fmt: skip
    additive = (45 * 40 + 15 * 15) / 105
    assert found.abv_additive_percent.value == pytest.approx(additive, abs=1e-6)
    assert found.abv_percent.value == pytest.approx(additive, abs=0.5)
    assert found.abv_percent.value > additive


def test_what_is_claimed_on_a_card_is_the_additive_rule():
    found = balance(recipe(line("gin-40", "60 ml"), line("water", "30 ml"))).batch
    assert found.abv_additive_percent.value == pytest.approx(26.667, abs=0.001)
    assert found.abv_percent.value == pytest.approx(26.705, abs=0.001)


def by_tabarie_g_per_l(abv, sugar):
    """Tabarie's formula for drinks with alcohol and extract (OIV-MA-AS2-03B): the density of the
    drink is that of its alcohol in water plus that of its extract in water, less that of water."""
    alcohol = density_g_per_l(mass_fraction_of(abv))
    extract = syrup_g_per_l(brix_of_g_per_litre(10 * sugar))
    return alcohol + extract - density_g_per_l(0)


@table("abv", [0, 8, 12, 16, 20])
@table("sugar", [0, 5, 10, 20, 40])
def test_sweet_wines_weigh_what_tabaries_formula_says(abv, sugar):
    wine = Substance(kind="wine", abv=Figure(abv), sugar=Content(sugar))
    weighed = 10 * mass_g(liquid_of(wine, Amount(100, "ml")))
    assert weighed == pytest.approx(by_tabarie_g_per_l(abv, sugar), rel=3e-4)


@pytest.mark.parametrize(("abv", "sugar"), [(30, 10), (40, 20), (40, 40)])
def test_liqueurs_weigh_about_what_tabaries_formula_says(abv, sugar):
    liqueur = Substance(kind="liqueur", abv=Figure(abv), sugar=Content(sugar))
    weighed = 10 * mass_g(liquid_of(liqueur, Amount(100, "ml")))
    assert weighed == pytest.approx(by_tabarie_g_per_l(abv, sugar), rel=7e-3)


def test_the_order_of_mixing_does_not_matter():
    lines = [line("gin-57", "50 ml"), line("syrup-2-1", "25 ml"), line("lemon-juice", "25 ml")]
    there, back = (balance(recipe(*order)).batch for order in (lines, lines[::-1]))
    assert there.volume_ml.value == pytest.approx(back.volume_ml.value)
    assert there.abv_percent.value == pytest.approx(back.abv_percent.value)


def test_sugar_and_acid():
    # ICUMSA: 12.30 g in 20 ml of 50 Brix; Penniston et al. 2008: 48.0 g/l in lemon juice.
    found = balance(recipe(line("syrup-1-1", "20 ml"), LEMON)).batch
    assert found.sugar_g.value == pytest.approx(12.30 + 0.52, abs=0.02)
    assert found.acid_g.value == pytest.approx(0.96, abs=0.005)
    assert found.sugar_to_acid.value == pytest.approx(13.35, abs=0.05)
    assert found.acid_g.high == pytest.approx(0.96 + 0.0764, abs=0.001)


def test_brix_is_grams_in_a_hundred():
    found = balance(recipe(line("white-sugar", "100 g"), line("water", "100 g"))).batch
    assert found.brix.value == pytest.approx(50.0)
    assert found.volume_ml.value == pytest.approx(162.6, abs=0.3)
    assert found.sugar_g_per_l.value == pytest.approx(614.8, abs=0.5)


# USDA food composition data (SR28), kcal in 100 g of beer (5 % vol) and white table wine (13 %).
@pytest.mark.parametrize(("key", "abv", "kcal"), [("lager-5", 5, 43), ("white-wine-12", 13, 82)])
def test_what_is_left_of_the_must_feeds_too(key, abv, kcal):
    kept = replace(line(key, "100 ml").substance, abv=Figure(abv))
    found = balance(recipe(own_line(key, "100 ml", kept))).batch.energy_kcal
    assert found.value == pytest.approx(kcal, abs=2)
    assert found.is_whole


def test_energy_is_the_least_where_nobody_knows_the_rest_of_a_beer():
    beer = Substance(kind="beer", abv=Figure(5), sugar=Content(0.3), acid=Content(0.2))
    found = balance(recipe(own_line("beer", "100 ml", beer))).batch.energy_kcal
    assert (found.bound, found.lacks) == ("at least", ("beer",))


def test_calories_follow_the_eu_factors():
    # Regulation (EU) No 1169/2011, Annex XIV: ethanol 7, sugar 4, acid 3, protein 4, fat 9 kcal/g.
    found = balance(recipe(own_line("spirit", "45 ml", spirit(40)))).batch
    assert found.energy_kcal.value == pytest.approx(14.206 * 7, abs=0.1)
    milk = liquid_of(line("whole-milk", "100 ml").substance, Amount(100, "g"))
    assert energy_kcal(milk) == pytest.approx(4 * 4.8 + 4 * 3.4 + 9 * 3.6, rel=0.01)


def test_standard_drinks_by_the_chosen_definition():
    drink = recipe(own_line("spirit", "90 ml", spirit(40)), serves=2)
    drinks = {who: balance(drink, who).serve.standard_drinks.value for who in ("WHO", "US", "UK")}
    assert drinks == pytest.approx({"WHO": 1.420, "US": 1.014, "UK": 1.800}, abs=0.002)


def test_a_serve_is_a_share_of_the_batch():
    found = balance(recipe(line("gin-45", "200 ml"), line("tonic-water", "600 ml"), serves=4))
    assert found.serve.volume_ml.value == pytest.approx(found.batch.volume_ml.value / 4)
    assert found.serve.abv_percent == found.batch.abv_percent
    assert mass_g(found.serve_liquid) == pytest.approx(found.batch.mass_g.value / 4)


def test_bar_measures_give_ranges():
    found = balance(recipe(line("water", "100 ml"), own_line("spirit", "2 dashes", spirit(40))))
    grams = found.batch.ethanol_g
    assert (grams.low, grams.high) == pytest.approx((1.6 * 0.31570, 1.8 * 0.31570), rel=1e-3)
    assert found.batch.volume_ml.is_range


def test_ranges_of_properties_add_up_to_the_worst_case():
    sure = Substance(kind="juice", sugar=Content(10), acid=Content(5), temp_c=Figure(5))
    unsure = replace(sure, acid=Content(5, 4, 6))
    drink = recipe(own_line("a", "50 ml", unsure), own_line("b", "50 ml", unsure))
    acid = balance(drink).batch.acid_g
    assert (acid.low, acid.value, acid.high) == pytest.approx((4.0, 5.0, 6.0))
    assert not balance(recipe(own_line("a", "50 ml", sure))).batch.acid_g.is_range


def test_what_was_weighed_keeps_its_mass_whatever_its_sugar():
    liqueur = Substance(kind="liqueur", abv=Figure(25, 20, 30), sugar=Content(30, 20, 40))
    weighed = balance(recipe(own_line("liqueur", "100 g", liqueur))).batch
    poured = balance(recipe(own_line("liqueur", "100 ml", liqueur))).batch
    assert not weighed.mass_g.is_range
    assert weighed.volume_ml.is_range
    assert not poured.volume_ml.is_range
    assert poured.mass_g.is_range


def test_doubtful_amounts_move_against_each_other():
    # 2 dashes of spirit (1.6 to 1.8 ml) in 2 dashes of water: 47 to 53 % of the spirit's 40 %.
    drops = balance(
        recipe(own_line("spirit", "2 dashes", spirit(40)), line("water", "2 dashes"))
    ).batch
    assert drops.abv_percent.low == pytest.approx(40 * 0.47, abs=0.1)
    assert drops.abv_percent.high == pytest.approx(40 * 0.53, abs=0.1)


def test_a_doubt_stays_with_the_ingredient_that_goes_in_late():
    shake = Agitate("s", "shake", Figure(25.0))
    juice = replace(LEMON, after_step_id="s")
    gin = own_line("gin", "60 ml", spirit(40))
    found = balance(recipe(gin, juice, steps=[shake])).batch
    assert found.acid_g.high == pytest.approx(0.96 + 0.0764, abs=1e-4)
    assert not found.ethanol_g.is_range
    assert found.volume_ml.high - found.volume_ml.low < 0.01


def test_a_range_does_not_go_below_nothing():
    juice = Substance(
        kind="juice", sugar=Content(5, 0, 10), acid=Content(2, 1, 8), temp_c=Figure(5)
    )
    ratio = balance(recipe(own_line("juice", "50 ml", juice))).batch.sugar_to_acid
    assert (ratio.low, ratio.value) == pytest.approx((0.0, 2.5))


def test_sugar_to_acid_has_no_bound_where_there_may_be_no_acid():
    juice = Substance(kind="juice", sugar=Content(5), acid=Content(1, 0, 2), temp_c=Figure(5))
    ratio = balance(recipe(own_line("juice", "50 ml", juice))).batch.sugar_to_acid
    assert (ratio.value, ratio.high) == (5.0, math.inf)


def test_sugar_to_acid_is_the_most_where_only_acid_is_uncounted_and_unsaid_where_sugar_is_too():
    sweet = Substance(kind="juice", sugar=Content(10), temp_c=Figure(5))
    sour = Substance(kind="juice", acid=Content(2), temp_c=Figure(5))
    both = Substance(kind="juice", sugar=Content(10), acid=Content(2), temp_c=Figure(5))
    known = own_line("known", "50 ml", both)
    # 5 g + 5 g of sugar to 1 g of acid; 5 g to 1 g + 1 g.
    for part, held, bound in ((sweet, 10, "at most"), (sour, 2.5, "at least")):
        ratio = balance(recipe(known, own_line("more", "50 ml", part))).batch.sugar_to_acid
        assert (ratio.value, ratio.bound) == (pytest.approx(held), bound)
    mix = own_line("house mix", "20 ml", kind="other")
    assert balance(recipe(known, mix)).batch.sugar_to_acid is None


def test_what_may_thin_or_cool_a_drink_leaves_no_least_strength_or_temperature():
    gin = line("gin-40", "50 ml")
    sized = balance(recipe(gin, own_line("house mix", "20 ml", kind="other", temp_c=Figure(5))))
    # 20 ml are counted: their own alcohol could only add to the strength.
    assert sized.batch.abv_percent.bound == "at least"
    assert sized.batch.temp_c.is_whole
    unsized = balance(recipe(gin, own_line("frozen berries", "2 pieces", kind="other"))).batch
    assert (unsized.abv_percent.bound, unsized.ethanol_g.bound) == ("about", "at least")
    assert unsized.temp_c.bound == "about"


def test_unknown_properties_are_named_and_not_taken_as_nothing():
    found = balance(recipe(line("gin-40", "50 ml"), own_line("house mix", "20 ml", kind="other")))
    assert found.batch.abv_percent.lacks == ("house mix",)
    assert found.batch.sugar_g.lacks == ("house mix",)
    assert found.batch.ethanol_g.value == pytest.approx(50 * 0.4 * 0.78924, rel=1e-5)
    assert "house mix: its strength is not known." in [u.words for u in found.unknowns]


def test_an_ingredient_without_any_property_is_still_named():
    found = balance(recipe(own_line("mystery", "20 ml")))
    assert {u.about for u in found.unknowns} >= {"abv", "sugar", "acid", "temp", "allergens"}
    assert found.batch.volume_ml.value == pytest.approx(20)
    assert found.batch.temp_c is None


def test_a_garnish_is_no_unknown_amount():
    found = balance(recipe(line("gin-40", "50 ml"), line("mint", "1 piece")))
    assert found.unknowns == ()
    assert found.batch.volume_ml.is_whole


def test_a_piece_without_a_size_is_named():
    limes = own_line("lime halves", "2 pieces", kind="juice", sugar=Content(2), acid=Content(4))
    found = balance(recipe(line("gin-40", "50 ml"), limes))
    assert found.unknowns[0].words == "lime halves: say how much one piece weighs."
    assert found.batch.volume_ml.lacks == ("lime halves",)


def test_parts_are_relative_to_a_part():
    lines = [line("gin-40", "2 parts"), line("dry-vermouth-18", "1 part")]
    with_size = balance(recipe(*lines, part_ml=30.0))
    assert with_size.batch.volume_ml.value == pytest.approx(90, abs=0.5)
    without = balance(recipe(*lines))
    assert without.batch.volume_ml.lacks == ("Gin, 40 %", "Dry vermouth, 18 %")


def test_a_temperature_that_is_not_known_is_left_out_and_named():
    hot = own_line("tea", "100 ml", kind="tea", caffeine=Content(20), acid=Content(0))
    found = balance(recipe(line("water", "100 ml"), hot))
    assert found.batch.temp_c.value == pytest.approx(20.0)
    assert found.batch.temp_c.lacks == ("tea",)


def test_mixing_temperatures_by_heat_capacity():
    # 120 g of coffee at 80 °C and 37.92 g of 40 % spirit at 20 °C give 65.65 °C (4.18 and 4.157
    # J/g K); with the mean capacity of the spirit's parts it would be 67.19. That the two warm each
    # other while they mix, by a degree or more (see test_mixing_heat), comes on top.
    coffee = Substance(kind="water", temp_c=Figure(80))
    found = balance(
        recipe(own_line("coffee", "120 g", coffee), own_line("spirit", "37.92 g", spirit(40)))
    )
    cool = Substance(kind="water", temp_c=Figure(20))
    plain = balance(recipe(own_line("coffee", "120 g", coffee), own_line("cool", "37.71 g", cool)))
    assert plain.batch.temp_c.value == pytest.approx(65.65, abs=0.1)
    assert 1.0 < found.batch.temp_c.value - 65.65 < 1.6


def test_cost_is_counted_from_the_pack_and_gaps_are_named():
    priced = replace(spirit(40), cost=Cost(28.0, Amount(700, "ml")))
    found = balance(recipe(own_line("gin", "50 ml", priced), line("lime-juice", "25 ml")))
    assert found.batch.cost.value == pytest.approx(2.0)
    assert found.batch.cost.lacks == ("Lime juice, fresh",)
    assert balance(recipe(line("gin-40", "50 ml"))).batch.cost is None


@pytest.mark.parametrize("unknown", ["fat", "protein", "sugar", "acid", "abv"])
def test_energy_lacks_what_brings_any_of_it(unknown):
    known = {name: Content(1.0) for name in ("fat", "protein", "sugar", "acid")}
    known["abv"] = Figure(5.0)
    del known[unknown]
    found = balance(recipe(own_line("mix", "20 ml", kind="other", **known)))
    assert found.batch.energy_kcal.lacks == ("mix",)


def test_a_cost_for_an_amount_that_cannot_be_told_is_named():
    egg = Substance(kind="egg", sugar=Content(0.7), cost=Cost(0.4, Amount(1, "piece")))
    priced = replace(spirit(40), cost=Cost(28.0, Amount(700, "ml")))
    found = balance(recipe(own_line("gin", "50 ml", priced), own_line("egg", "30 ml", egg)))
    assert found.batch.cost.lacks == ("egg",)


def test_a_brew_without_its_strength_says_so():
    coffee = RecipeLine("c", "coffee", Amount(100, "ml"), brew=Brew(dose_g=15, water_g=250))
    notices = balance(recipe(coffee)).notices
    assert notices == ("coffee: not known of its brew: strength (TDS), extraction.",)


def test_a_brew_that_yields_too_little_is_noticed():
    brew = Brew(dose_g=15, water_g=250, tds_percent=1.3)
    coffee = RecipeLine("c", "coffee", Amount(400, "ml"), brew=brew)
    found = balance(recipe(coffee))
    assert "one brew yields about 220 ml" in found.notices[0]
    assert found.batch.caffeine_mg.low < found.batch.caffeine_mg.high


def test_listed_ice_is_counted_only_where_a_step_melts_it():
    lines = [line("gin-40", "60 ml"), line("ice", "200 g")]
    still = balance(recipe(*lines))
    assert still.batch.volume_ml.value == pytest.approx(60)
    assert "Ice is listed" in still.notices[0]
    assert balance(recipe(*lines, steps=[Agitate("s", "stir")])).notices == ()


def test_shaking_without_a_temperature_still_dilutes():
    cool = own_line("gin", "100 ml", replace(spirit(40), temp_c=None))
    found = balance(recipe(cool, steps=[Agitate("s", "shake")]))
    assert found.batch.abv_percent.value == pytest.approx(40 / 1.3, abs=0.1)
    assert found.batch.temp_c is None


def test_shaking_shows_in_strength_and_its_range():
    gin = own_line("gin", "100 ml", spirit(40))
    shaken = balance(recipe(gin, steps=[Agitate("s", "shake")])).batch
    assert shaken.abv_percent.value == pytest.approx(40 / 1.3, abs=0.1)
    assert shaken.abv_percent.low == pytest.approx(40 / 1.45, abs=0.15)
    assert shaken.abv_percent.high == pytest.approx(40 / 1.20, abs=0.15)


def test_milk_and_acid_in_one_drink_are_weighed_against_each_other():
    # The stoichiometric model: 20 ml of lime in 100 ml of milk give pH 4.49 (4.3 to 4.7).
    found = balance(recipe(line("whole-milk", "100 ml"), LIME)).curdling
    assert found.ph == pytest.approx(4.49, abs=0.06)
    assert found.verdict == "may curdle"
    assert balance(recipe(line("whole-milk", "100 ml"))).curdling is None


@pytest.mark.parametrize(
    ("degrees", "verdict"), [(39.9, "unlikely from acid alone"), (40.0, "may curdle")]
)
def test_warmth_eases_curdling_from_forty_degrees_on(degrees, verdict):
    lines = line("whole-milk", "100 ml"), replace(LIME, amount=Amount(5, "ml"))
    found = balance(recipe(*lines, steps=[Bring("w", "heat", degrees)])).curdling
    assert found.verdict == verdict


def test_spirit_and_warmth_ease_curdling():
    little = replace(LIME, amount=Amount(5, "ml"))
    cold = balance(recipe(line("whole-milk", "100 ml"), little))
    strong = balance(recipe(line("whole-milk", "100 ml"), little, line("gin-40", "20 ml")))
    warm = balance(recipe(line("whole-milk", "100 ml"), little, steps=[Bring("s", "heat", 70)]))
    assert cold.curdling.verdict == "unlikely from acid alone"
    assert strong.curdling.verdict == warm.curdling.verdict == "may curdle"


def test_what_the_acid_may_be_widens_the_ph():
    # Lime between 40 and 75 g/l: the strongest in the least buffered milk is the lowest pH.
    milk = line("whole-milk", "100 ml")
    one, other = (
        balance(recipe(milk, each)).curdling for each in (LIME, line("lime-juice", "20 ml"))
    )
    assert other.ph_low < one.ph_low - 0.2
    assert other.ph_high > one.ph_high + 0.05


def test_milk_of_unknown_protein_buffers_by_its_volume():
    # The stoichiometric model: 4.49 for 20 ml of lime in 100 ml.
    plain = own_line("milk", "100 ml", kind="dairy", sugar=Content(4.8), acid=Content(0))
    found = balance(recipe(plain, LIME)).curdling
    assert found.ph == pytest.approx(4.49, abs=0.03)


def test_citric_powder_curdles_as_the_model_says():
    # 0.76 g per 100 ml of milk to reach pH 4.6.
    found = balance(recipe(line("whole-milk", "100 ml"), line("citric-acid", "0.76 g"))).curdling
    assert found.ph == pytest.approx(4.6, abs=0.05)


def test_other_units_give_the_same_drink():
    metric = balance(recipe(line("gin-40", "59.1470591 ml"), line("lemon-juice", "22.1801472 ml")))
    ounces = balance(recipe(line("gin-40", "2 oz"), line("lemon-juice", "3/4 oz")))
    for name in ("volume_ml", "abv_percent", "sugar_g", "acid_g_per_l", "energy_kcal"):
        one, other = getattr(metric.batch, name).value, getattr(ounces.batch, name).value
        assert math.isclose(one, other, rel_tol=1e-6)


def test_a_mixture_of_spirits_alone_agrees_with_the_tables():
    # OIML R 22: 60 ml of 50 % with 30 ml of 17 % give 89.649 ml of 39.153 %.
    found = balance(
        recipe(own_line("a", "60 ml", spirit(50)), own_line("b", "30 ml", spirit(17)))
    ).batch
    reference = mixed([Pour(60, 50), Pour(30, 17)])
    assert found.volume_ml.value == pytest.approx(reference.volume_ml)
    assert found.abv_percent.value == pytest.approx(39.153, abs=0.01)


def test_what_thins_a_drink_without_sugar_does_not_make_it_at_most_none():
    # Mass balance: none in however much water is none.
    found = balance(recipe(line("whisky-46", "45 ml"), line("ice", "100 g"))).serve
    assert (found.sugar_g_per_l.value, found.sugar_g_per_l.bound) == (0.0, "")
    assert (found.acid_g_per_l.bound, found.abv_percent.bound) == ("", "at most")


def test_what_is_counted_as_water_may_be_lighter_or_heavier():
    # 10 g of butter (0.91 g/ml, handbook value) are 11 ml, of sugar (1.59) 6.3: no least is known.
    weighed = balance(recipe(line("water", "100 ml"), own_line("paste", "10 g"))).serve
    poured = balance(recipe(line("water", "100 ml"), own_line("liqueur", "40 ml"))).serve
    assert (weighed.volume_ml.bound, weighed.mass_g.bound) == ("about", "")
    assert (poured.volume_ml.bound, poured.mass_g.bound) == ("", "about")


def test_a_density_that_cannot_be_of_what_it_holds_is_asked_about():
    # OIML R 22: 40 % vol weighs 0.948 g/ml; ICUMSA: 65 Brix 1.317.
    def asked(density, **holds):
        part = own_line("mix", "30 ml", kind="liqueur", density=Figure(density), **holds)
        notices = balance(recipe(part)).notices
        return [each for each in notices if "density" in each]

    spirit = {"abv": Figure(40.0), "sugar": Content(0.0)}
    (told,) = asked(3.0, **spirit)
    assert "3 g/ml as given, and what it holds weighs about 0.95" in told
    assert asked(0.948, **spirit) == []
    assert asked(1.0, abv=Figure(0.0), sugar=Content(65.0, per="100 g"))
    assert asked(1.2) == []
    assert asked(0.5)


def test_no_density_of_the_library_is_asked_about():
    for entry in library():
        if entry.substance.density is not None:
            found = balance(recipe(own_line(entry.name, "10 ml", entry.substance)))
            assert not any("density" in each for each in found.notices), entry.key
