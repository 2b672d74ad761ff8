"""How the numbers of a drink are read out and compared."""

from dataclasses import fields, replace

import pytest

from server.domain.glass.balance import balance
from server.domain.glass.figures import Estimate
from server.domain.glass.readout import NUMBERS, comparisons
from server.domain.glass.totals import Totals
from tests.domain.glass.recipes import line, own_line, recipe


def test_every_number_has_words_once():
    assert [number.name for number in NUMBERS] == [field.name for field in fields(Totals)]


def test_two_versions_are_compared_number_by_number():
    weak = balance(recipe(line("gin-40", "40 ml"), line("tonic-water", "120 ml"))).serve
    strong = balance(recipe(line("gin-40", "60 ml"), line("tonic-water", "120 ml"))).serve
    found = {c.number.name: c for c in comparisons(weak, strong)}
    assert found["abv_percent"].difference > 3
    assert found["abv_percent"].is_clear
    assert found["cost"].difference is None


def test_a_difference_within_doubt_is_not_clear():
    one = balance(recipe(line("gin-40", "40 ml"), line("aromatic-bitters", "2 dashes"))).serve
    other = balance(recipe(line("gin-40", "40 ml"), line("aromatic-bitters", "3 dashes"))).serve
    assert not {c.number.name: c for c in comparisons(one, other)}["abv_percent"].is_clear


NONE, SIXTY, AT_LEAST = Estimate(0, 0, 0), Estimate(60, 55, 65), Estimate(62, 62, 62, ("mix",))
AT_MOST = replace(AT_LEAST, is_most=True)
ABOUT = replace(AT_LEAST, is_open=True)


# Intervals that have no point in common: what is "at least 62" ends nowhere above.
@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        (NONE, AT_LEAST, True),
        (NONE, SIXTY, True),
        (SIXTY, Estimate(70, 66, 74), True),
        (SIXTY, Estimate(66, 64, 70), False),
        (SIXTY, AT_LEAST, False),
        (Estimate(90, 80, 99), AT_LEAST, False),
        (Estimate(90, 80, 99), AT_MOST, True),
        (NONE, AT_MOST, False),
        (NONE, ABOUT, False),
        (AT_LEAST, AT_LEAST, False),
    ],
)
def test_numbers_are_apart_where_their_ranges_do_not_overlap(one, other, apart):
    assert one.is_apart_from(other) == other.is_apart_from(one) == apart


def test_more_than_the_other_can_be_is_clear_though_not_all_of_it_is_known():
    one = balance(recipe(line("gin-40", "40 ml"))).serve
    unknown = balance(recipe(line("gin-45", "60 ml"), own_line("mix", "10 ml", kind="other"))).serve
    found = {c.number.name: c for c in comparisons(one, unknown)}
    assert found["ethanol_g"].is_clear
    assert not found["abv_percent"].is_clear
