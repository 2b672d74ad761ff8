"""How the numbers of a drink are read out and compared."""

from dataclasses import fields

from server.domain.glass.balance import balance
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
    unknown = balance(recipe(line("gin-45", "60 ml"), own_line("mix", "10 ml", kind="other"))).serve
    assert not {c.number.name: c for c in comparisons(one, other)}["abv_percent"].is_clear
    assert not any(c.is_clear and c.number.name == "ethanol_g" for c in comparisons(one, unknown))
