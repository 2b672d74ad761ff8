"""What is said of a brew, against the brew on record."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink, Ingredient

FILTER = Brew(dose_g=20, water_g=300, beverage_g=260, tds_percent=1.4, water_c=94, time_s=150)
SHOT = Brew(kind="espresso", dose_g=18, beverage_g=36, water_c=92, time_s=28)


def states(text, brew=FILTER, extra=()):
    coffee = Ingredient("c", "Filter coffee", Amount(180, "ml"), brew=brew)
    drink = Drink("d", "Ferry", 1, (coffee, *extra))
    own = KnownNumber("temperature", "for Filter coffee in the recipe", 80.0, 80.0, "c")
    glass = KnownNumber("strength", "in the glass", 9.0, 9.0)
    case = ScriptCase((Passage("s", text, "d"),), (drink,), facts=(GlassFacts("d", (own, glass)),))
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


def test_a_mass_is_not_held_against_what_else_its_sentence_names():
    said = "Three hundred grams of water on twenty grams of coffee."
    assert states(said) == ["backed", "backed"]
    assert states("The dose is twenty-two grams.") == ["contradicted"]


def test_plain_water_is_the_brews_and_not_the_soda_though_no_word_of_brewing_stands_by():
    soda = Ingredient("s", "Soda water", Amount(90, "ml"))
    assert states("Three hundred millilitres of water, off the boil.", extra=(soda,)) == ["backed"]
    assert states("Ninety millilitres of water on top.", extra=(soda,)) == ["backed"]
    assert states("Two hundred millilitres of water.", extra=(soda,)) == ["contradicted"]
