"""Outside check of the conversions: NIST Handbook 44 (Specifications, Tolerances, and Other
Technical Requirements for Weighing and Measuring Devices), Appendix C, General Tables of Units of
Measurement: 1 gallon = 231 cubic inches, 1 inch = 2.54 cm, 128 fluid ounces, 768 teaspoons and
256 tablespoons to the gallon, 1 avoirdupois ounce = 28.349 523 125 g. The volumes below are worked
from those definitions, independently of the library the app converts with."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.amounts import BAR_MEASURES_ML, UNITS, Amount, parse_amount
from server.domain.base.errors import InvalidInput
from tests.domain.strategies import amounts
from tests.table import table

GALLON_ML = 231 * 2.54**3


@table(
    "typed, expected_ml",
    [
        ("1 oz", GALLON_ML / 128),
        ("0.75 oz", 0.75 * GALLON_ML / 128),
        ("1 1/2 oz", 1.5 * GALLON_ML / 128),
        ("2 oz", 2 * GALLON_ML / 128),
        ("1 tsp", GALLON_ML / 768),
        ("1 tbsp", GALLON_ML / 256),
        ("3 cl", 30),
        ("0.25 l", 250),
        ("45 ml", 45),
    ],
)
def test_volumes_agree_with_the_nist_handbook_44_definitions(typed, expected_ml):
    assert parse_amount(typed).volume_ml == pytest.approx(expected_ml, rel=1e-12)


def test_the_us_fluid_ounce_is_the_handbook_44_figure():
    assert Amount(1, "oz").volume_ml == pytest.approx(29.5735295625, abs=1e-9)


def test_an_ounce_in_a_recipe_is_a_volume_never_a_mass():
    assert Amount(1, "oz").mass_g is None


def test_masses_are_grams_and_no_volume():
    assert Amount(1.5, "kg").mass_g == pytest.approx(1500)
    assert Amount(18, "g").volume_ml is None


# Common practice, no source: bars use these words without a standard.
@pytest.mark.parametrize(
    ("unit", "low_ml", "high_ml"),
    [("dash", 0.8, 0.9), ("barspoon", 2.5, 5), ("drop", 0.05, 0.05)],
)
def test_bar_measures_are_ranges_taken_at_their_middle(unit, low_ml, high_ml):
    assert BAR_MEASURES_ML[unit] == (low_ml, high_ml)
    assert low_ml <= Amount(1, unit).volume_ml <= high_ml


def test_counted_things_have_neither_volume_nor_mass():
    assert (Amount(4, "piece").volume_ml, Amount(4, "piece").mass_g) == (None, None)


@table(
    "typed, value, unit",
    [
        ("45ml", 45, "ml"),
        ("45 ML", 45, "ml"),
        ("7,5 g", 7.5, "g"),
        (".5 oz", 0.5, "oz"),
        ("3/4 oz", 0.75, "oz"),
        ("3⁄4 oz", 0.75, "oz"),
        ("¾ oz", 0.75, "oz"),
        ("1½ oz", 1.5, "oz"),
        ("2 dashes", 2, "dash"),
        ("1 bar spoon", 1, "barspoon"),
        ("30 millilitres", 30, "ml"),
        ("2 fl oz", 2, "oz"),
        ("3 drops", 3, "drop"),
        ("4 pcs.", 4, "piece"),
        ("0 ml", 0, "ml"),
        ("6 leaves", 6, "leaf"),
        ("1 pinch", 1, "pinch"),
        ("2 Thimbles", 2, "thimble"),
        ("1½ cucharadas", 1.5, "tbsp"),
        ("2 EL", 2, "tbsp"),
        ("3 gocce", 3, "drop"),
        ("2 chilis", 2, "chili"),
        ("3 coffee-glasses", 3, "coffee-glass"),
    ],
)
def test_an_amount_is_understood_however_it_is_typed(typed, value, unit):
    assert parse_amount(typed) == Amount(value, unit)


@table(
    "typed, told",
    [
        ("", "Start with a number"),
        ("some gin", "Start with a number"),
        ("45", "Say 45 of what"),
        ("45 mm", "“mm” is no unit known here"),
        ("45 ml gin", "“ml gin” is no unit known here"),
        ("45 <b>ml</b>", "is no unit known here"),
        ("-5 ml", "cannot be negative"),
        ("1/0 oz", "below the line"),
        ("100001 ml", "between 0 and 100,000"),
        ("7" * 400 + " ml", "between 0 and 100,000"),
        ("7" * 400 + "/3 ml", "between 0 and 100,000"),
        ("7" * 400 + " 1/2 ml", "between 0 and 100,000"),
        ("7" * 400 + "½ ml", "between 0 and 100,000"),
        ("1/" + "7" * 5000 + " ml", "between 0 and 100,000"),
    ],
)
def test_what_is_no_amount_is_refused_beside_its_field(typed, told):
    with pytest.raises(InvalidInput) as refused:
        parse_amount(typed)
    assert refused.value.faults[0].field == "amount"
    assert told in refused.value.message


def test_an_amount_in_an_unknown_unit_cannot_exist():
    with pytest.raises(InvalidInput):
        Amount(1, "thimbles")


@given(amounts)
def test_a_printed_amount_is_read_back_as_the_same_amount(amount):
    assert parse_amount(str(amount)) == amount


@given(st.sampled_from(UNITS), st.integers(1, 1000))
def test_twice_the_amount_is_twice_the_volume(unit, number):
    single, double = Amount(number, unit).volume_ml, Amount(2 * number, unit).volume_ml
    assert (single is None) == (double is None)
    assert single is None or double == pytest.approx(2 * single)


@given(amounts)
def test_a_spoken_amount_is_read_back_as_the_same_amount(amount):
    assert parse_amount(amount.words) == amount


@table(
    "value, unit, words",
    [(4, "leaf", "4 leaves"), (6, "drop", "6 drops"), (0.5, "dash", "½ dash"),
     (2, "dash", "2 dashes"),
     (1, "piece", "1 piece"), (1.5, "oz", "1½ oz"), (7.5, "ml", "7.5 ml"),
     (2, "thimble", "2 thimbles")],
)  # fmt: skip
def test_an_amount_is_said_as_a_recipe_says_it(value, unit, words):
    assert Amount(value, unit).words == words


@pytest.mark.parametrize("unit", ["leaf", "sprig", "pinch", "thimble"])
def test_a_word_of_ones_own_counts_pieces(unit):
    amount = Amount(4, unit)
    assert (amount.counts_pieces, amount.volume_ml, amount.mass_g) == (True, None, None)


@table(
    "whole, serves, each",
    [
        ("1 kg", 40, "25 g"), ("0.5 l", 8, "62.5 ml"), ("1 l", 4, "0.25 l"),
        ("45 ml", 4, "11.25 ml"),
        ("100 ml", 3, "33.33 ml"), ("1 oz", 3, "⅓ oz"), ("1 g", 30, "0.0333 g"),
        ("0.1 g", 40, "0.0025 g"), ("2 cl", 7, "0.286 cl"), ("0 ml", 4, "0 ml"),
    ],
)  # fmt: skip
def test_a_share_is_told_to_a_hundredth_of_itself_or_better(whole, serves, each):
    # By division: what is rounded is off by less than one per cent.
    share = parse_amount(whole).shared(serves)
    assert share.words == each
    size, part = ((each.volume_ml or each.mass_g) for each in (parse_amount(whole), share))
    assert (part or 0) == pytest.approx((size or 0) / serves, rel=0.01)
