"""Words of taste, strength and thickness against the computed figures of the glass."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.facts import GlassFacts, Makeup
from server.domain.claims.finds import Passage
from server.domain.claims.glass_facts import facts_of_glass
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.claims.tasting.makeup import makeup_of
from server.domain.glass.balance import balance
from server.domain.glass.figures import Content, Figure
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.over_ice import OverIce
from tests.domain.shorthand import exactly
from tests.table import table

PLUM = Ingredient("p", "Plum", Amount(50, "ml"))
SWEET = {"sugar_g_per_l": (140.0, 160.0), "acid_g_per_l": (0.9, 1.0), "sugar_to_acid": (140.0, 178)}
DRY = {"sugar_g_per_l": (1.0, 2.0), "acid_g_per_l": (7.0, 8.0), "sugar_to_acid": (0.1, 0.3)}
EVEN = {"sugar_g_per_l": (60.0, 72.0), "acid_g_per_l": (6.0, 7.0), "sugar_to_acid": (8.0, 12.0)}


def state(text, parts=(PLUM,), **figures):
    drink = Drink("d", "Dusk", 1, parts)
    facts = (GlassFacts("d", makeup=Makeup(**figures)),)
    (row,) = ledger(ScriptCase((Passage("s", text, "d"),), (drink,), facts=facts)).rows
    return row.state if row.is_checked else "unchecked"


@table(
    "text, figures, expected",
    [
        ("It is sweet.", SWEET, "backed"),
        ("It is sweet.", DRY, "contradicted"),
        ("It is not sweet.", SWEET, "contradicted"),
        ("It is not sweet.", DRY, "backed"),
        ("It tastes dry.", SWEET, "contradicted"),
        ("It tastes dry.", DRY, "backed"),
        ("It is not too sweet.", SWEET, "contradicted"),
        ("It is sour.", DRY, "backed"),
        ("It is tart.", SWEET, "unchecked"),
        ("It is not sour.", DRY, "contradicted"),
        ("It is not sour.", SWEET, "backed"),
        ("It is boozy.", {"abv_percent": (30.0, 33.0)}, "backed"),
        ("It is boozy.", {"abv_percent": (3.0, 4.0)}, "contradicted"),
        ("It is light in alcohol.", {"abv_percent": (3.0, 4.0)}, "backed"),
        ("It is light in alcohol.", {"abv_percent": (30.0, 33.0)}, "contradicted"),
        ("It is syrupy.", {"sugar_g_per_l": (1.0, 2.0), "is_clear": True}, "contradicted"),
        ("It is watery.", {"sugar_g_per_l": (300.0, 320.0)}, "contradicted"),
    ],
)
def test_a_clear_figure_settles_a_word_of_taste(text, figures, expected):
    assert state(text, **figures) == expected


@pytest.mark.parametrize("word", ["sweet", "dry", "sour", "tart", "thick", "watery", "boozy"])
def test_between_the_ends_neither_a_word_nor_its_denial_is_judged(word):
    figures = {**EVEN, "abv_percent": (12.0, 14.0)}
    assert state(f"It is {word}.", **figures) == "unchecked"
    assert state(f"It is not {word}.", **figures) == "unchecked"


@pytest.mark.parametrize(
    ("word", "figures"),
    [
        ("sweet", {**DRY, "sugar_g_per_l": (1.0, 9.0)}),
        ("dry", {**SWEET, "sugar_g_per_l": (40.0, 160.0)}),
        ("boozy", {"abv_percent": (3.0, 9.0)}),
        ("light in alcohol", {"abv_percent": (20.0, 33.0)}),
    ],
)
def test_a_range_that_reaches_across_the_limit_contradicts_nothing(word, figures):
    assert state(f"It is {word}.", **figures) != "contradicted"


def test_thickness_from_elsewhere_than_sugar_is_not_denied():
    assert state("It is syrupy.", sugar_g_per_l=(1.0, 2.0)) == "unchecked"


def test_not_sour_is_not_backed_beside_lime_juice_of_unknown_acid():
    lime = Ingredient("l", "Lime juice", Amount(40, "ml"))
    assert state("It is not sour.", (PLUM, lime)) == "unchecked"


def test_a_dry_spirits_name_makes_no_sweet_drink_dry():
    gin = Ingredient("g", "Dry gin", Amount(40, "ml"))
    assert state("It tastes dry.", (gin,), **EVEN) == "unchecked"


def facts_of(*parts):
    return facts_of_glass(Drink("d", "Dusk", 1, parts), (), "WHO").makeup


def part(name, ml, **properties):
    kind = properties.pop("kind", "other")
    return Ingredient(name, name, Amount(ml, "ml"), (), Substance(kind, **properties))


def test_the_figures_are_those_of_the_whole_glass():
    # 50 ml of 40 % in 200 ml: 10 %; 12 g of sugar and 1.2 g of acid in them: 60 and 6 g/l.
    rum = part("rum", 50, kind="spirit", abv=Figure(40.0), sugar=Content(0.0), acid=Content(0.0))
    juice = part(
        "juice", 150, kind="juice", sugar=Content(8.0, per="100 ml"),
        acid=Content(0.8, per="100 ml"),
    )  # fmt: skip
    makeup = facts_of(rum, juice)
    assert makeup.abv_percent == pytest.approx((10, 10), abs=0.1)
    assert makeup.sugar_g_per_l == pytest.approx((60, 60), rel=0.01)
    assert makeup.acid_g_per_l == pytest.approx((6, 6), rel=0.01)
    assert makeup.sugar_to_acid == pytest.approx((10, 10), rel=0.02)


def test_what_is_not_known_leaves_no_figure_and_coffee_leaves_acid_open():
    unknown = facts_of(part("shrub", 50))
    assert (unknown.sugar_g_per_l, unknown.acid_g_per_l) == (None, None)
    coffee = facts_of(part("coffee", 50, kind="coffee", acid=Content(0.0)))
    assert coffee.acid_g_per_l == (0.0, float("inf"))


def test_melting_ice_widens_a_figure_downwards():
    rum = part("rum", 60, kind="spirit", abv=Figure(40.0), sugar=Content(0.0))
    drink = Drink("d", "Dusk", 1, (rum,))
    melted = OverIce(*(exactly(value) for value in (60.0, 120.0, 20.0, 0.0)))
    makeup = makeup_of(drink, balance(drink, "WHO"), melted)
    assert makeup.abv_percent == pytest.approx((20, 40), abs=0.1)
