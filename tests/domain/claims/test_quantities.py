"""Outside check: volumes and temperatures agree with pint, an independent library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words
from pint import UnitRegistry

from server.domain.base.amounts import Amount
from server.domain.base.tokens import tokens_of
from server.domain.claims.compare_numbers import celsius
from server.domain.claims.quantities import quantities_in
from tests.table import table

UNITS = UnitRegistry()


def read(text, language="en"):
    return [(q.kind, q.low, q.high, q.unit) for q in quantities_in(tokens_of(text), language)]


@table(
    "said, pints",
    [
        ("half an ounce", "0.5 fluid_ounce"),
        ("three quarters of an ounce", "0.75 fluid_ounce"),
        ("one and a half ounces", "1.5 fluid_ounce"),
        ("4.5cl", "4.5 cl"),
        ("two tablespoons", "2 tablespoon"),
        ("a teaspoon", "1 teaspoon"),
        ("forty mils", "40 ml"),
        ("a quarter of a litre", "0.25 litre"),
    ],
)
def test_a_spoken_volume_is_the_volume_pint_makes_of_it(said, pints):
    kind, low, _, unit = read(said)[0]
    assert kind == "amount"
    assert Amount(low, unit).volume_ml == pytest.approx(UNITS(pints).to("ml").magnitude)


@given(st.integers(-40, 250))
def test_fahrenheit_is_what_pint_makes_of_it(degrees):
    by_pint = UNITS.Quantity(degrees, "degF").to("degC").magnitude
    assert celsius(degrees, "F") == pytest.approx(by_pint)


@pytest.mark.parametrize(("said", "kinds"), [("one serves", []), ("two serves", ["serves"])])
def test_a_number_of_serves_begins_with_two(said, kinds):
    assert [kind for kind, *_ in read(said)] == kinds


@given(st.integers(2, 400), st.sampled_from(["ml", "cl", "oz", "g"]))
def test_words_and_digits_of_an_amount_are_the_same_amount(number, unit):
    assert read(f"{num2words(number)} {unit}") == read(f"{number}{unit}")


@table(
    "said, found",
    [
        ("Forty-five mils of rum", ("amount", 45, 45, "ml")),
        ("between 50 and 55 ml", ("amount", 50, 55, "ml")),
        ("two or three dashes", ("amount", 2, 3, "dash")),
        ("an ounce and a half", ("amount", 1.5, 1.5, "oz")),
        ("two parts rum", ("amount", 2, 2, "part")),
        ("fifty to fifty-five degrees Celsius", ("temperature", 50, 55, "C")),
        ("50–55°C", ("temperature", 50, 55, "C")),
        ("130 Fahrenheit", ("temperature", 130, 130, "F")),
        ("minus two degrees", ("temperature", -2, -2, "C")),
        ("forty percent by volume", ("strength", 40, 40, "%")),
        ("11.5 % ABV", ("strength", 11.5, 11.5, "%")),
        ("in under ten minutes", ("time", 600, 600, "s")),
        ("two minutes and thirty seconds", ("time", 150, 150, "s")),
        ("eighteen hours", ("time", 64800, 64800, "s")),
        ("for the four of you", ("serves", 4, 4, "serve")),
        ("six glasses", ("serves", 6, 6, "serve")),
        ("To ounces of rum", ("amount", 2, 2, "oz")),
    ],
)
def test_a_number_with_its_unit_is_one_quantity(said, found):
    assert read(said) == [found]


@table(
    "language, said, found",
    [
        ("de", "fünfundvierzig Milliliter", ("amount", 45, 45, "ml")),
        ("de", "bei zweiundneunzig Grad", ("temperature", 92, 92, "C")),
        ("fr", "quarante-cinq millilitres", ("amount", 45, 45, "ml")),
        ("fr", "deux traits", ("amount", 2, 2, "dash")),
        ("es", "noventa y dos punto cinco grados", ("temperature", 92.5, 92.5, "C")),
        ("it", "due once e mezzo", ("amount", 2.5, 2.5, "oz")),
        ("it", "quaranta per cento", ("strength", 40, 40, "%")),
        ("pt", "dez minutos", ("time", 600, 600, "s")),
        ("other", "45 ml", ("amount", 45, 45, "ml")),
    ],
)
def test_units_are_known_in_six_languages(language, said, found):
    assert found in read(said, language)


@pytest.mark.parametrize(
    "said", ["a part of me", "a piece of cake", "one glass", "a drink", "no one", "two of them"]
)
def test_what_measures_nothing_is_no_quantity(said):
    assert read(said) == []


@pytest.mark.parametrize(
    ("said", "bound"),
    [
        ("about forty ml", "about"),
        ("under ten minutes", "under"),
        ("less than ten minutes", "under"),
        ("at least two dashes", "over"),
        ("over it, forty ml", "exactly"),
        ("forty ml", "exactly"),
    ],
)
def test_a_hedge_right_before_the_number_counts(said, bound):
    assert quantities_in(tokens_of(said))[0].bound == bound
