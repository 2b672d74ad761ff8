"""Where a figure comes from: every value that went in is named, with its source."""

import pytest

from server.domain.base.amounts import parse_amount
from server.domain.base.errors import NotFound
from server.domain.glass.balance import balance
from server.domain.glass.figures import Content, Figure
from server.domain.glass.library import ingredient
from server.domain.glass.origin import FORMULAS, said_source
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.explained import SERVED, explained
from server.domain.routine.served import standing_of
from tests.factories import make_segment
from tests.table import table


def part(key, amount, **changes):
    entry = ingredient(key)
    return Ingredient(key, entry.name, parse_amount(amount), substance=entry.substance, **changes)


COFFEE = Drink(
    "d", "Lamp", 1, (part("filter-coffee", "120 ml"), part("rum-aged-40", "30 ml")),
    service=Service(Vessel("cup", "porcelain", 150), 21.0, None, "s1", "s2"),
)  # fmt: skip
SEGMENTS = (make_segment("s1"), make_segment("s2"))


def of(name, drink=COFFEE):
    worked_out = balance(drink)
    return explained(drink, worked_out, standing_of(drink, worked_out, SEGMENTS), name)


@table("name", [*FORMULAS, *SERVED])
def test_every_figure_has_a_formula_and_a_source(name):
    found = of(name)
    assert found.formula.words
    assert found.formula.source
    assert all(each.told and each.source.words for each in found.inputs)


def test_what_is_no_figure_is_refused():
    with pytest.raises(NotFound):
        of("colour")


def test_a_figure_names_only_what_it_reads():
    assert {each.about for each in of("caffeine_mg").inputs} == {"caffeine"}
    assert {each.of for each in of("caffeine_mg").inputs} == {"120 ml Filter coffee"}


def test_the_temperature_when_drunk_rests_on_room_vessel_and_time():
    found = {(each.of, each.about): each for each in of("drunk_c").inputs}
    assert found["cup", "weight"].told == "150 g of porcelain"
    assert found["The room", "temperature"].told.startswith("21")
    assert found["It stands", "for"].source.words == "from the plan's durations"
    assert found["Cooling", "k"].source.is_unsure


def test_a_vessel_that_was_measured_is_no_guess():
    own = Figure(0.03, 0.025, 0.035, source="fitted from two readings")
    service = Service(Vessel("cup", "porcelain", 150, None, own), 21.0, None, "s1", "s2")
    drink = Drink("d", "Lamp", 1, COFFEE.ingredients, service=service)
    cooling = next(each for each in of("drunk_c", drink).inputs if each.of == "Cooling")
    assert cooling.source == ("fitted from two readings", False)


@table(
    "source, words, is_unsure",
    [
        ("", "as you gave it", False),
        ("typical", "typical, no source", True),
        ("typical; 9 in a table", "typical, no source; 9 in a table", True),
        ("typical room", "typical room, no source", True),
        ("handbook value, from memory", "handbook value, from memory: measure your own", True),
        ("texts, from memory: measure your own", "texts, from memory: measure your own", True),
        ("common practice, no source", "common practice, no source", True),
        ("USDA SR28", "USDA SR28", False),
        ("recipe", "worked out from its recipe", False),
    ],
)
def test_a_source_is_said_for_what_it_is(source, words, is_unsure):
    assert said_source(source) == (words, is_unsure)


def test_bar_measures_are_named_as_practice():
    dash = Ingredient(
        "b", "Bitters", parse_amount("2 dashes"),
        substance=Substance("bitters", abv=Figure(45), sugar=Content(0), acid=Content(0)),
    )  # fmt: skip
    told = of("ethanol_g", Drink("d", "X", 1, (dash,))).inputs
    assert (told[0].about, told[0].told) == ("one dash", "0.8 to 0.9 ml")
