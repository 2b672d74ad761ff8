"""A drink for more or fewer people: what is in each glass stays as it was."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.amounts import Amount
from server.domain.glass.balance import balance
from server.domain.glass.library import ingredient
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.resized import for_serves

GIN = Ingredient("a", "gin", Amount(180, "ml"), substance=ingredient("gin-40").substance)
SYRUP = Ingredient("b", "syrup", Amount(3, "oz"), substance=ingredient("syrup-1-1").substance)
DUSK = Drink("d1", "Dusk", 4, (GIN, SYRUP), ("juniper",), method="Stir.")


@given(st.integers(1, 100))
def test_each_serve_has_what_it_had(serves):
    before, after = balance(DUSK).serve, balance(for_serves(DUSK, serves)).serve
    for name in ("volume_ml", "abv_percent", "sugar_g_per_l"):
        assert getattr(after, name).value == pytest.approx(getattr(before, name).value, rel=1e-4)


def test_all_else_of_a_drink_stays_and_units_do_too():
    fewer = for_serves(DUSK, 3)
    assert [part.amount for part in fewer.ingredients] == [Amount(135, "ml"), Amount(2.25, "oz")]
    assert (fewer.serves, fewer.descriptors, fewer.method) == (3, ("juniper",), "Stir.")
    assert for_serves(fewer, 4) == DUSK
