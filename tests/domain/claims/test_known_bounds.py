"""Where not all of a glass is known, what is known of it still tells some claims from others."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.amounts import Amount
from server.domain.claims.glass_facts import facts_of_glass
from server.domain.glass.balance import balance
from server.domain.glass.figures import Content, Figure
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient, Service
from tests.domain.claims.test_reasons import rows_of
from tests.table import table


def part(name, ml, kind="other", unit="ml", **properties):
    return Ingredient(name, name, Amount(ml, unit), (), Substance(kind, **properties))


RUM = part("rum", 60, "spirit", abv=Figure(40.0), sugar=Content(0.0), temp_c=Figure(20.0))
WATER = part("water", 120, "water", temp_c=Figure(80.0))


def bounds(drink, kind):
    facts = facts_of_glass(drink, (), "WHO")
    return [each for each in facts.numbers if each.kind == kind and each.is_bound]


@table(
    "drink_id, text, state, why",
    [
        ("snow", "The drink has 20 percent alcohol.", "contradicted",
         "You say 20 %, computed at most 12.2 % in the glass: more than 0.5 points off."),
        ("snow", "It has less than 14 percent alcohol.", "backed",
         "You say under 14 %; computed at most 12.2 % in the glass, no more than that."),
        ("snow", "It has 11 percent alcohol.", "unbacked",
         "You say 11 %; computed at most 12.2 % in the glass, and no more is known."),
        ("terrace", "It has about 5 percent alcohol.", "contradicted",
         "You say about 5 %, computed at least 8.7 % in the glass: more than 1.5 points off."),
        ("terrace", "It has under 8 percent alcohol.", "contradicted", "under 8 %, computed at"),
        ("terrace", "It has over 8 percent alcohol.", "backed", "at least 8.7 % in the glass, no"),
        ("terrace", "It has over 10 percent alcohol.", "unbacked", "and no more is known."),
        ("foundry", "You get 5 grams of alcohol each.", "contradicted",
         "You say 5 g of alcohol, computed at least 9.4 g of alcohol in each glass: more than 5 %"),
        ("foundry", "You get 12 grams of alcohol each.", "unbacked", "and no more is known."),
        ("quay", "That is 14.5 grams of alcohol per glass.", "backed", "within 5 %."),
        ("quay", "That is 58 grams of alcohol in all.", "backed", "in all glasses together"),
        ("quay", "That is 58 grams of alcohol per glass.", "contradicted", "computed 14.5 g"),
        ("shrub", "That is five grams of alcohol.", "unbacked", "how much there is, is not known."),
        ("whey", "You drink it at 82 degrees.", "contradicted",
         "You say 82 °C, computed between −2.5 and 78.3 °C in the glass: more than 0.5 °C off."),
        ("whey", "You drink it at 30 degrees.", "unbacked", "and no more is known."),
        ("snow", "Each of you gets more than 120 ml.", "backed", "at least 125 ml in each glass,"),
        ("snow", "Each of you gets 130 ml.", "unbacked", "no amount of the recipe is that."),
    ],
)  # fmt: skip
def test_a_bound_tells_what_lies_outside_it_and_nothing_else(drink_id, text, state, why):
    (row,) = rows_of(text, drink_id)
    assert row.state == state
    assert row.is_checked == (state != "unbacked")
    assert why in row.why[0]


def test_what_an_ingredient_has_is_not_called_wrong_by_a_bound_of_the_glass():
    (row,) = rows_of("It has five degrees, straight from the fridge.", "whey")
    assert not row.is_checked


@given(st.floats(0, 96), st.floats(5, 300))
def test_whatever_an_unknown_strength_turns_out_to_be_it_lies_within_the_bound(abv, ml):
    house = Ingredient("house", "house", Amount(ml, "ml"))
    (bound,) = bounds(Drink("d", "D", ingredients=(RUM, WATER, house)), "strength")
    known = replace(house, substance=Substance("spirit", abv=Figure(abv), sugar=Content(0.0)))
    told = balance(Drink("d", "D", ingredients=(RUM, WATER, known))).serve.abv_percent
    # Water and ethanol contract by 4 % of the volume at the most: see OIML R 22.
    assert bound.low * 0.96 <= told.value <= bound.high


@given(st.floats(-25, 100), st.floats(5, 300), st.floats(0, 96))
def test_whatever_an_unknown_temperature_turns_out_to_be_it_lies_within_the_bound(temp_c, ml, abv):
    house = part("house", ml, "spirit", abv=Figure(abv), sugar=Content(0.0))
    (bound,) = bounds(Drink("d", "D", ingredients=(RUM, WATER, house)), "temperature")
    known = replace(house, substance=replace(house.substance, temp_c=Figure(temp_c)))
    told = balance(Drink("d", "D", ingredients=(RUM, WATER, known))).serve.temp_c
    assert bound.low <= told.value <= bound.high


def test_where_nothing_bounds_a_figure_none_is_given():
    thimble = part("house", 1, unit="thimble")
    assert not bounds(Drink("d", "D", ingredients=(RUM, WATER, thimble)), "strength")
    over_ice = Service(over_ice=True)
    house = Ingredient("house", "house", Amount(30, "ml"))
    drink = Drink("d", "D", ingredients=(RUM, WATER, house), service=over_ice)
    assert not bounds(drink, "strength")
    assert not bounds(drink, "temperature")
    assert not bounds(Drink("d", "D", ingredients=(RUM, WATER)), "strength")
