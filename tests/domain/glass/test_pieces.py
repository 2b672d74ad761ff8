"""What is counted in leaves, sprigs or a word of one's own is as large as one piece of it is."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.balance import balance
from server.domain.glass.figures import Content, Figure
from server.domain.glass.recipe import Recipe, RecipeLine
from server.domain.glass.scaling import Batch, scaled_recipe
from server.domain.glass.substance import Substance

LUMP = Substance("sugar", sugar=Content(100.0, per="100 g"), piece_g=Figure(5.0))
COUNTED = ("piece", "cube", "pinch", "thimble")


def drink_of(unit, substance):
    water = RecipeLine("w", "Water", Amount(100, "ml"), Substance("water"))
    return Recipe((water, RecipeLine("a", "Sugar", Amount(3, unit), substance)))


@pytest.mark.parametrize("unit", COUNTED)
def test_counted_things_weigh_as_many_pieces_as_there_are(unit):
    assert balance(drink_of(unit, LUMP)).batch.sugar_g.value == pytest.approx(15.0)


@pytest.mark.parametrize("unit", COUNTED)
def test_counted_things_without_a_weight_are_named_and_not_taken_as_nothing(unit):
    bare = Substance("sugar", sugar=Content(100.0, per="100 g"))
    found = balance(drink_of(unit, bare))
    assert f"Sugar: say how much one {unit} weighs." in [each.words for each in found.unknowns]
    assert found.batch.sugar_g.lacks == ("Sugar",)


@pytest.mark.parametrize("unit", COUNTED)
def test_counted_things_are_scaled_to_whole_ones(unit):
    more = scaled_recipe(drink_of(unit, LUMP), Batch(serves=1, spare=1, loss_percent=5))
    # 3 x 2 / 0.95 = 6.3 pieces.
    assert more.lines[1].measure == Amount(6, unit)
