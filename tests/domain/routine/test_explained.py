"""Where a figure comes from: every value that went in is named, with its source."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import parse_amount
from server.domain.base.errors import NotFound
from server.domain.glass.balance import balance
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.library import ingredient
from server.domain.glass.origin import FORMULAS, said_source
from server.domain.glass.steps import Agitate, Ice
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


WHISKY_OVER_ICE = Drink(
    "d", "Pier", 1, (part("whisky-46", "45 ml"), part("soda-water", "40 ml")),
    service=Service(Vessel("tumbler", "glass", 300), 21.0, None, "s1", "s2", over_ice=True),
)  # fmt: skip


def test_a_constant_is_told_in_the_digits_that_a_guess_has():
    # 0.04 x (150 / 85)^(1/3), by hand: 0.0483, of a range from 0.02 to 0.097.
    (cooling,) = [each for each in of("drunk_c", WHISKY_OVER_ICE).inputs if each.of == "Cooling"]
    assert cooling.told == "0.048 (0.02–0.097) a minute"


def test_over_ice_a_drink_is_told_to_melt_ice_not_to_warm():
    assert "melts ice instead of warming" in of("drunk_c", WHISKY_OVER_ICE).formula.words
    assert "exp(−k × minutes)" in of("drunk_c").formula.words


def test_the_caffeine_of_a_brew_shows_what_it_was_worked_out_from():
    # Belitz, Grosch, Schieberle, Food Chemistry (2009), arabica: 8 to 14 mg in a gram.
    brew = Brew(dose_g=18, beverage_g=36, tds_percent=9.0, kind="espresso")
    shot = replace(part("espresso", "30 ml"), brew=brew)
    inputs = of("caffeine_mg", Drink("d", "Bell", 1, (shot,))).inputs
    told = {each.about: (each.told, each.source.is_unsure) for each in inputs}
    assert told["caffeine in the coffee"] == ("12 (8–14) mg in a gram", False)
    assert told["share of it that is drawn out"] == ("0.85 (0.6–1)", True)
    # 18 g x 12 mg x 0.85 in 34.8 ml, from 18 x 8 x 0.6 to 18 x 14: no range here carries decimals.
    assert told["caffeine"][0] == "530 (250–720) mg in 100 ml"


def test_water_from_ice_is_no_part_of_what_it_does_not_change():
    # By mass: water has no energy, sugar, acid or caffeine of its own.
    shaken = replace(COFFEE, steps=(Agitate("s", "shake"),))
    for name in ("energy_kcal", "sugar_to_acid", "caffeine_mg", "ethanol_g"):
        assert all(each.of != "Shaking with ice" for each in of(name, shaken).inputs)
    assert any(each.of == "Shaking with ice" for each in of("abv_percent", shaken).inputs)


def test_what_melts_to_a_temperature_hangs_on_how_warm_the_parts_are():
    chilled = replace(COFFEE, steps=(Ice("s", 5.0),))
    abouts = [each.about for each in of("abv_percent", chilled).inputs]
    assert abouts.count("temperature") == 2
    assert "temperature" not in [each.about for each in of("abv_percent").inputs]
    assert "temperature" not in [each.about for each in of("ethanol_g", chilled).inputs]
