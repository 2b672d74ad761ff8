"""Syrups by recipe."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.recipe import RecipeLine
from server.domain.glass.syrup import (
    Syrup,
    strained_yield_ml,
    syrup_brix,
    syrup_substance,
    syrup_warning,
    syrup_yield_ml,
)
from tests.domain.glass.recipes import recipe


# ICUMSA densities of what the parts give; by volume with 0.845 g/ml for dry sugar (200 g in a US
# cup, a kitchen convention): parts, way, Brix, tolerance.
@pytest.mark.parametrize(
    ("sugar", "water", "by", "brix", "tolerance"),
    [(1, 1, "mass", 50.0, 0.01), (2, 1, "mass", 66.67, 0.01), (3, 2, "mass", 60.0, 0.01),
     (1, 1, "volume", 45.9, 1.5), (2, 1, "volume", 62.9, 1.5)],
)  # fmt: skip
def test_brix_of_usual_syrups(sugar, water, by, brix, tolerance):
    # Common practice, no source: "one part sugar, one part water" and its richer kin.
    found = syrup_brix(Syrup(sugar=sugar, water=water, by=by))
    assert found == pytest.approx(brix, abs=tolerance)


def test_sugar_and_water_shrink_into_syrup():
    # ICUMSA: 100 g and 100 g make 162.6 ml, 200 g and 100 g 226.1 ml.
    assert syrup_yield_ml(Syrup(100, 100)) == pytest.approx(162.6, abs=0.3)
    assert syrup_yield_ml(Syrup(200, 100)) == pytest.approx(226.1, abs=0.3)


def test_a_juice_brings_its_own_sugar_and_acid():
    # Common practice, no source: one part juice, one part sugar, one part water.
    syrup = Syrup(sugar=100, water=100, juice=100, juice_brix=10, juice_acid_percent=4.5)
    assert syrup_brix(syrup) == pytest.approx(110 / 3)
    assert syrup_substance(syrup).acid.value == pytest.approx(1.5)


def test_a_syrup_by_volume_is_less_sure():
    sugar = syrup_substance(Syrup(1, 1, by="volume")).sugar
    assert sugar.most - sugar.least == pytest.approx(3.0)
    assert "crystallise" in syrup_warning(Syrup(3, 1))
    assert "fridge" in syrup_warning(Syrup(2, 1))
    assert syrup_warning(Syrup(1, 1)) == ""


def test_what_is_strained_out_keeps_its_share():
    # By mass balance: 100 g of fruit that keep a gram each of 200 g leave half of 162.6 ml.
    syrup = Syrup(100, 100, solids=100, held_g_per_g=1.0, by="grams")
    assert strained_yield_ml(syrup).value == pytest.approx(81.3, abs=0.2)
    assert syrup_brix(syrup) == pytest.approx(50.0)


def test_how_much_solids_keep_is_a_range_until_weighed():
    guessed = strained_yield_ml(Syrup(500, 500, solids=100, by="grams"))
    assert guessed.low < guessed.value < guessed.high < syrup_yield_ml(Syrup(500, 500))
    weighed = strained_yield_ml(Syrup(500, 500, solids=100, held_g_per_g=0.8, by="grams"))
    assert not weighed.is_range


def test_solids_that_keep_everything_leave_nothing():
    assert strained_yield_ml(Syrup(10, 10, solids=100, held_g_per_g=2)).value == 0.0


def test_a_cooking_that_is_too_small_is_told_in_grams_only():
    def notices(by):
        line = RecipeLine("s", "syrup", Amount(500, "ml"), syrup=Syrup(100, 100, by=by))
        return balance(recipe(line)).notices

    assert "one cooking yields about 163 ml; the recipe takes more" in notices("grams")[0]
    assert notices("mass") == ()


def test_a_drink_counts_the_syrup_cooked_for_it():
    cooked = RecipeLine("s", "rich syrup", Amount(20, "ml"), syrup=Syrup(2, 1))
    found = balance(recipe(cooked))
    # ICUMSA: 17.69 g of sucrose in 20 ml of 66.67 Brix.
    assert found.batch.sugar_g.value == pytest.approx(17.69, abs=0.02)
    assert any("saturation" in notice for notice in found.notices)
    thin = RecipeLine("s", "syrup", Amount(20, "ml"), syrup=Syrup(1, 1))
    assert balance(recipe(thin)).notices == ()


@pytest.mark.parametrize(
    "wrong",
    [
        {"sugar": 0, "water": 1},
        {"sugar": 1},
        {"sugar": -1, "water": 1},
        {"sugar": 1, "water": 1, "bulk_g_per_ml": 3},
        {"sugar": 1, "juice": 1, "juice_brix": 140},
        {"sugar": 1, "juice": 1, "juice_acid_percent": -1},
    ],
)
def test_impossible_syrups_are_refused(wrong):
    with pytest.raises(InvalidInput):
        Syrup(**wrong)
