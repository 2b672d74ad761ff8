"""Cautions: when they are said, what they name, who decides."""

import re
from dataclasses import replace

import pytest

from server.domain.glass.balance import balance
from server.domain.glass.brew import Brew
from server.domain.glass.caution import DEFER
from server.domain.glass.cautions import cautions, for_who_drinks, judge_cautions
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.steps import Bring, Filter
from tests.domain.glass.recipes import line, own_line, recipe
from tests.domain.shorthand import exactly


def said(drink, served=None):
    return {caution.code: caution.words for caution in cautions(balance(drink), served)}


def test_every_caution_defers_to_local_codes():
    drink = recipe(
        line("rectified-96", "300 ml"), line("egg-white", "1 piece"), line("hot-water", "60 ml"),
        line("espresso", "100 ml"), line("cream-35", "30 ml"), line("lime-juice", "20 ml"),
    )  # fmt: skip
    words = said(drink, exactly(70.0))
    assert set(words) == {
        "ethanol", "strength", "scald", "very_hot", "holding", "raw_egg", "allergens", "caffeine",
        "curdling",
    }  # fmt: skip
    assert all(text.endswith(DEFER) for text in words.values())


def test_a_plain_drink_brings_no_cautions():
    assert said(recipe(line("water", "100 ml"), line("lemon-juice", "20 ml"))) == {}


def test_alcohol_is_told_in_grams_and_standard_drinks():
    # 45 ml of 40 %: 14.2 g, 1.4 drinks of 10 g (WHO AUDIT).
    text = said(recipe(line("gin-40", "45 ml"), line("water", "100 ml")))["ethanol"]
    assert "14 g of alcohol (1.4 standard drinks of 10 g)" in text
    assert "without alcohol" in text


def test_an_unknown_strength_makes_it_at_least():
    text = said(recipe(line("gin-40", "45 ml"), own_line("mix", "20 ml", kind="other")))["ethanol"]
    assert "at least 14 g" in text


def test_the_least_that_is_told_is_the_least_it_may_be():
    # By mass balance: 250 ml of 5 % hold 9.9 g; where it may be 4.5 %, at least 8.8 g.
    beer = own_line("Beer", "250 ml", kind="beer", abv=Figure(5.0, 4.5, 5.5), temp_c=Figure(5.0))
    assert "about 10 g" in said(recipe(beer))["ethanol"]
    with_more = recipe(beer, own_line("mix", "20 ml", kind="other"))
    assert "at least 8 g of alcohol (0.8 standard" in said(with_more)["ethanol"]


def test_a_strong_drink_is_called_strong():
    assert "37 % vol" in said(recipe(line("gin-45", "60 ml"), line("port-20", "30 ml")))["strength"]
    assert "strength" not in said(recipe(line("gin-40", "30 ml"), line("water", "60 ml")))


# IARC Monograph 116: very hot is above 65 °C; deep scalds take 5 s at 60 °C (Hawkes; Moritz and
# Henriques 1947).
@pytest.mark.parametrize(
    ("degrees", "codes"), [(58, set()), (62, {"scald"}), (70, {"scald", "very_hot"})]
)
def test_hot_drinks(degrees, codes):
    drink = recipe(line("water", "100 ml"), steps=[Bring("s", "heat", degrees)])
    assert set(said(drink)) == codes


@pytest.mark.parametrize(("degrees", "is_said"), [(59.9, False), (60.0, True)])
def test_a_drink_scalds_from_sixty_degrees_on(degrees, is_said):
    drink = recipe(line("water", "100 ml"), steps=[Bring("s", "heat", degrees)])
    assert ("scald" in said(drink)) is is_said


@pytest.mark.parametrize(("abv", "is_said"), [(29.9, False), (30.0, True)])
def test_a_drink_is_strong_from_thirty_on(abv, is_said):
    worked_out = balance(recipe(line("water", "100 ml")))
    serve = replace(worked_out.serve, abv_percent=exactly(abv))
    codes = {each.code for each in cautions(replace(worked_out, serve=serve), None)}
    assert ("strength" in codes) is is_said


def test_the_temperature_at_drinking_decides_what_is_very_hot():
    drink = recipe(line("hot-water", "100 ml"))
    assert "very_hot" not in said(drink, Estimate(55, 50, 60))
    assert "very_hot" in said(drink, Estimate(62, 58, 66))


def test_milk_and_egg_are_held_cold_or_hot():
    # FDA Food Code 3-501.16 and 3-501.19: 5 °C, 57 °C, 4 hours.
    text = said(recipe(line("cream-35", "30 ml"), line("egg-white", "1 piece")))["holding"]
    assert "Holds milk and egg" in text
    assert all(limit in text for limit in ("5 °C", "57 °C", "4 hours"))


def test_raw_egg_has_an_advisory():
    # FDA Food Code 3-603.11 (from memory) and 3-401.11: 63 °C for 15 s.
    assert "63 °C for 15 seconds" in said(recipe(line("whole-egg", "1 piece")))["raw_egg"]


def test_pasteurised_egg_is_kept_cold_but_not_called_raw():
    words = said(recipe(line("egg-white", "1 piece", name="Egg white, pasteurised")))
    assert "holding" in words
    assert "raw_egg" not in words


@pytest.mark.parametrize(
    "name", ["Unpasteurised egg white", "Egg, not pasteurised", "Eiweiß, nicht pasteurisiert"]
)
def test_egg_that_is_not_pasteurised_is_called_raw(name):
    assert "raw_egg" in said(recipe(line("egg-white", "1 piece", name=name)))


def test_one_raw_egg_beside_a_pasteurised_one_is_told():
    mixed = recipe(
        line("egg-white", "1 piece", name="Pasteurised white"), line("egg-yolk", "1 piece")
    )
    assert "raw_egg" in said(mixed)


@pytest.mark.parametrize("kind", ["liqueur", "other"])
def test_a_liqueur_of_unknown_strength_holds_alcohol(kind):
    words = said(recipe(own_line("Herb liqueur", "20 ml", kind=kind), line("water", "60 ml")))
    assert "Holds alcohol, nobody knows how much" in words["ethanol"]
    assert "Herb liqueur" in words["ethanol"]
    assert "without alcohol" in words["ethanol"]


def test_a_bare_line_called_like_a_spirit_holds_alcohol():
    assert "ethanol" in said(recipe(own_line("Rum", "40 ml")))
    assert "ethanol" in said(recipe(own_line("House liqueur, green", "40 ml")))


@pytest.mark.parametrize("name", ["Rumble berry", "Wine vinegar", "Alcohol-free spirit"])
def test_a_bare_line_called_like_no_drink_holds_none(name):
    assert "ethanol" not in said(recipe(own_line(name, "40 ml")))


def test_much_caffeine_is_told_with_its_range():
    # EFSA Journal 13(5), 4102 (2015): 200 mg at once.
    assert "200 mg" in said(recipe(line("espresso", "90 ml")))["caffeine"]
    assert "caffeine" not in said(recipe(line("filter-coffee", "120 ml")))
    assert "caffeine" not in said(recipe(line("filter-coffee", "1 l"), serves=8))


def test_milk_and_acid_are_to_be_tested_where_they_may_curdle():
    text = said(recipe(line("whole-milk", "100 ml"), line("lime-juice", "15 ml")))["curdling"]
    assert "may curdle the milk: test it" in text
    assert "measure your own milk" in text


def test_a_ph_is_told_as_a_range_only():
    # Milk takes 0.045 to 0.065 mol of acid a litre (remembered), lime holds 40 to 75 g/l.
    text = said(recipe(line("whole-milk", "100 ml"), line("lime-juice", "15 ml")))["curdling"]
    assert re.search(r"pH may come to \d\.\d to \d\.\d; casein falls out at 4\.6", text)
    assert "remembered, not looked up" in text


def test_cream_in_coffee_is_no_cause_for_a_caution():
    assert "curdling" not in said(
        recipe(line("filter-coffee", "120 ml"), line("cream-35", "20 ml"))
    )


def test_a_drink_too_unknown_to_measure_still_gets_its_other_cautions():
    words = said(recipe(own_line("mix", "3 pieces", kind="egg")))
    assert set(words) == {"holding", "raw_egg", "allergens"}
    assert "Not known whether these hold allergens: mix." in words["allergens"]


def test_a_drink_that_leaves_nothing_has_no_strength_to_warn_of():
    nothing = Filter("f", loss_percent=Figure(100))
    assert said(recipe(line("gin-40", "50 ml"), steps=[nothing])) == {}


def test_a_judge_is_told_the_sum_of_all_drinks():
    first = balance(recipe(line("gin-40", "180 ml"), serves=4))
    second = balance(recipe(line("espresso", "240 ml"), line("rum-aged-40", "120 ml"), serves=4))
    words = {c.code: c.words for c in judge_cautions([first, second])}
    assert "24 g of alcohol" in words["ethanol"]
    assert words["ethanol"].startswith("One judge")
    assert "caffeine" in words
    assert judge_cautions([]) == ()


# Institut national de santé publique du Québec, "Honey: never for babies under age 1".
def test_honey_is_told_where_no_alcohol_keeps_it_from_children():
    honey = line("honey-syrup-2-1", "15 ml")
    assert "under one year" in said(recipe(honey, line("water", "150 ml")))["infants"]
    assert "infants" not in said(recipe(honey, line("gin-40", "45 ml")))
    house = own_line("House liqueur", "20 ml", kind="liqueur")
    assert "infants" not in said(recipe(honey, house))
    melon = own_line("Honey melon juice", "60 ml", kind="juice")
    assert "infants" not in said(recipe(melon))


# FDA Food Code 3-501.14, from memory: 57 to 21 °C within 2 hours, to 5 °C within 6 in all.
def test_what_was_heated_and_holds_milk_or_egg_is_cooled_fast():
    milk = line("whole-milk", "1 l")
    heated = said(recipe(milk, steps=[Bring("h", "heat", 75)]))["holding"]
    assert "21 °C within 2 hours, and to 5 °C within 6 in all" in heated
    assert "within 6 in all" not in said(recipe(milk))["holding"]


def test_whoever_drinks_is_told_of_raw_egg_and_much_caffeine():
    # FDA Food Code 3-603.11 (from memory) and EFSA 2015: both are told to the guest.
    drink = recipe(
        line("whole-egg", "1 piece"), line("espresso", "120 ml"), line("gin-40", "45 ml")
    )
    told = for_who_drinks(cautions(balance(drink)))
    assert {each.code for each in told} == {"raw_egg", "caffeine"}


def test_water_that_coffee_is_brewed_with_scalds_however_cool_the_coffee_goes_in():
    # 69 °C burns deep within a second (Moritz and Henriques, 1947): brewing water is hotter.
    cold = line("cold-brew", "100 ml")
    assert "scald" not in said(recipe(cold))
    brewed = replace(cold, brew=Brew(dose_g=30, water_g=300, kind="immersion", water_c=94.0))
    assert said(recipe(brewed))["scald"].startswith("Liquid at 94 °C scalds")


def test_a_serve_that_nobody_should_drink_is_told_as_a_slip():
    # WHO counts 60 g at one sitting as heavy episodic drinking; 60 g are 190 ml of 40 % vol.
    def words(ml):
        return " ".join(each.words for each in cautions(balance(recipe(line("vodka-40", ml)))))

    assert "heavy episodic drinking" not in words("185 ml")
    assert "heavy episodic drinking" in words("1000 ml")
    assert "for how many serves they are" in words("1000 ml")
