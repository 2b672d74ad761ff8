"""What is said of a brew, against the brew on record."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.glass.brew import Brew
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient

FILTER = Brew(dose_g=20, water_g=300, beverage_g=260, tds_percent=1.4, water_c=94, time_s=150)
SHOT = Brew(kind="espresso", dose_g=18, beverage_g=36, water_c=92, time_s=28)


def states(text, brew=FILTER, extra=(), substance=None):
    coffee = Ingredient("c", "Filter coffee", Amount(180, "ml"), (), substance, brew)
    drink = Drink("d", "Ferry", 1, (coffee, *extra))
    own = KnownNumber("temperature", "for Filter coffee in the recipe", 80.0, 80.0, "c")
    glass = KnownNumber("strength", "in the glass", 9.0, 9.0)
    gin = KnownNumber("strength", "Gin", 40.0, 40.0, "g")
    case = ScriptCase(
        (Passage("s", text, "d"),), (drink,), facts=(GlassFacts("d", (own, glass, gin)),)
    )
    return [
        row.state if row.is_checked else "unchecked"
        for row in ledger(case).rows
        if row.kind not in ("descriptor", "ingredient")
    ]


@pytest.mark.parametrize(
    "text",
    [
        "I brew the coffee at ninety-four degrees.",
        "The water is ninety-four degrees.",
        "The whole brew takes two and a half minutes.",
        "The extraction is eighteen point two percent.",
        "The TDS is one point four percent.",
        "I put in twenty grams of coffee.",
        "The brew is one to fifteen.",
    ],
)
def test_what_the_brew_has_on_record_holds(text):
    assert states(text) == ["backed"]


@pytest.mark.parametrize(
    "text",
    [
        "I brew the coffee at eighty-eight degrees.",
        "The water is eighty-eight degrees.",
        "The whole brew takes four minutes.",
        "The extraction is twenty-two percent.",
        "The brew is one to eighteen.",
    ],
)
def test_another_figure_of_the_brew_is_contradicted(text):
    assert states(text) == ["contradicted"]


@pytest.mark.parametrize(
    "text",
    [
        "I rinse the cup with water of ninety degrees.",
        "In the brew I let it bloom for thirty seconds.",
        "I brew while you wait, and after forty seconds I stir.",
    ],
)
def test_figures_around_a_brew_are_not_held_against_it(text):
    assert "contradicted" not in states(text)


def test_a_brewing_temperature_is_not_that_of_the_coffee_in_the_glass():
    unknown = replace(FILTER, water_c=None)
    assert states("I brew the coffee at ninety-four degrees.", unknown) == ["unchecked"]


def test_the_warmth_of_other_water_is_not_held_against_the_brew():
    soda = Ingredient("w", "Sparkling water", Amount(50, "ml"))
    assert states("The water comes at three degrees.", FILTER, (soda,)) == ["unchecked"]


def test_an_espresso_is_told_by_dose_yield_ratio_and_seconds():
    said = "I pull eighteen grams in, thirty-six grams out, in twenty-eight seconds."
    assert states(said, SHOT) == ["backed"] * 3
    assert states("My espresso runs one to two.", SHOT) == ["backed"]
    assert states("The shot takes forty seconds.", SHOT) == ["contradicted"]


# What brews have: filter coffee about 0.8 to 2 %, espresso 7 to 13 (common practice, no source; the
# classic chart has 1.15 to 1.35, Lockhart 1957). The drink itself has 9 % of alcohol.
@pytest.mark.parametrize(
    "text",
    [
        "Strength one point four percent.",
        "It comes out at 1.4 percent.",
        "The coffee has a strength of 1.4 percent.",
        "One point four percent strength, brewed slowly.",
    ],
)
def test_a_bare_strength_that_brews_have_is_that_of_the_brew(text):
    assert states(text) == ["backed"]


@pytest.mark.parametrize("text", ["Strength 1.9 percent.", "It comes out at 0.9 percent."])
def test_a_bare_strength_of_another_brew_is_open_and_not_wrong_as_alcohol(text):
    assert states(text) == ["unchecked"]


@pytest.mark.parametrize(
    "text",
    [
        "The coffee has a strength of 1.9 percent.",
        "I brew it to a strength of 1.9 percent.",
    ],
)
def test_another_strength_of_what_is_named_as_the_brew_is_wrong(text):
    assert states(text) == ["contradicted"]


@pytest.mark.parametrize(
    "text",
    ["The alcohol is 1.4 percent.", "1.4 percent by volume.", "Strength three percent.",
     "Strength eleven percent.", "The gin has 1.4 percent."],
)  # fmt: skip
def test_a_strength_of_alcohol_is_still_held_against_the_drink(text):
    gin = Ingredient("g", "Gin", Amount(30, "ml"))
    assert states(text, extra=(gin,)) == ["contradicted"]


def test_the_alcohol_that_a_drink_has_is_not_taken_for_a_brew():
    assert states("Strength nine percent.", SHOT) == ["backed"]


def test_an_espresso_is_stronger_than_filter_coffee():
    pulled = replace(SHOT, tds_percent=10.5)
    assert states("Strength ten and a half percent.", pulled) == ["backed"]
    assert states("Strength twelve percent.", pulled) == ["unchecked"]
    assert states("Strength one point four percent.", pulled) == ["contradicted"]
    assert states("My espresso has a strength of eleven percent.", SHOT) == ["unchecked"]


def test_coffee_that_nobody_said_how_it_is_brewed_leaves_a_strength_open():
    coffee = Substance(kind="coffee")
    assert states("Strength 1.4 percent.", None, substance=coffee) == ["unchecked"]
    assert states("The brew has 1.4 percent.", None) == ["unchecked"]
    assert states("Strength 1.4 percent.", None) == ["contradicted"]


def test_a_mass_is_not_held_against_what_else_its_sentence_names():
    said = "Three hundred grams of water on twenty grams of coffee."
    assert states(said) == ["backed", "backed"]
    assert states("The dose is twenty-two grams.") == ["contradicted"]


def test_plain_water_is_the_brews_and_not_the_soda_though_no_word_of_brewing_stands_by():
    soda = Ingredient("s", "Soda water", Amount(90, "ml"))
    assert states("Three hundred millilitres of water, off the boil.", extra=(soda,)) == ["backed"]
    assert states("Ninety millilitres of water on top.", extra=(soda,)) == ["backed"]
    assert states("Two hundred millilitres of water.", extra=(soda,)) == ["contradicted"]
