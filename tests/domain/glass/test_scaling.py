"""From one serve to the whole batch, and what a jigger and a scale make of it."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Figure
from server.domain.glass.recipe import RecipeLine
from server.domain.glass.scaling import Batch, measurable, rounding_error, scaled_recipe
from server.domain.glass.steps import Agitate, Filter
from tests.domain.glass.recipes import line, recipe
from tests.table import table

SOUR = recipe(
    line("gin-45", "50 ml"),
    line("lemon-juice", "22.5 ml"),
    line("syrup-1-1", "20 ml"),
    line("aromatic-bitters", "2 dashes"),
    line("salt", "0.13 g"),
)


def test_serves_spare_and_loss_make_the_factor():
    # 4 serves and 1 spare, a tenth lost: 5 / 0.9 times one serve.
    assert Batch(serves=4, spare=1, loss_percent=10).factor(1) == pytest.approx(5 / 0.9)
    assert Batch(serves=4).factor(2) == pytest.approx(2)


def test_a_batch_is_rounded_to_what_can_be_measured():
    made = scaled_recipe(SOUR, Batch(serves=4, spare=1, scale_g=0.1))
    measures = {each.id: str(each.measure) for each in made.lines}
    assert measures == {
        "gin-45": "250 ml", "lemon-juice": "115 ml", "syrup-1-1": "100 ml",
        "aromatic-bitters": "10 dash", "salt": "0.7 g",
    }  # fmt: skip
    assert made.lines[1].error_percent == pytest.approx(100 * 2.5 / 112.5)


def test_rounding_error_is_told_in_strength_and_sweetness():
    coarse = rounding_error(scaled_recipe(SOUR, Batch(serves=1, jigger=Amount(30, "ml"))))
    fine = rounding_error(scaled_recipe(SOUR, Batch(serves=1, jigger=Amount(2.5, "ml"))))
    assert abs(coarse.abv_percent) > 1
    assert coarse.volume_ml == pytest.approx(27.5, abs=0.5)
    assert fine.abv_percent == pytest.approx(0, abs=0.05)
    assert fine.sugar_g_per_l == pytest.approx(0, abs=0.5)


@table(
    "amount, measure",
    [
        (Amount(0.4, "ml"), "5 ml"),
        (Amount(12.5, "ml"), "15 ml"),
        (Amount(1.5, "oz"), "45 ml"),
        (Amount(2.4, "dash"), "2 dash"),
        (Amount(0.3, "dash"), "1 dash"),
        (Amount(1.2, "barspoon"), "1 barspoon"),
        (Amount(1.4, "piece"), "1 piece"),
        (Amount(0.012, "kg"), "12 g"),
        (Amount(2.5, "part"), "2.5 part"),
        (Amount(0, "ml"), "0 ml"),
    ],
)
def test_measures_are_whole_steps_and_never_nothing(amount, measure):
    assert str(measurable(amount, Batch(serves=1))) == measure


def test_a_jigger_may_be_in_ounces():
    batch = Batch(serves=1, jigger=Amount(0.25, "oz"))
    assert measurable(Amount(50, "ml"), batch) == Amount(1.75, "oz")


def test_filters_and_brews_scale_with_the_batch():
    coffee = RecipeLine("c", "coffee", Amount(200, "ml"), brew=Brew(dose_g=15, water_g=250))
    stir, strain = Agitate("a", "stir"), Filter("f", Figure(180, 170, 190))
    made = scaled_recipe(recipe(coffee, steps=[stir, strain]), Batch(3))
    assert made.recipe.ingredients[0].brew == Brew(dose_g=45, water_g=750)
    assert made.recipe.steps[0] == stir
    assert made.recipe.steps[1].recovered_ml == Figure(540, 510, 570)


def test_a_larger_batch_is_the_same_drink():
    made = scaled_recipe(SOUR, Batch(serves=12, spare=2)).recipe
    one, many = balance(SOUR).serve, balance(made).serve
    assert many.abv_percent.value == pytest.approx(one.abv_percent.value)
    assert many.volume_ml.value == pytest.approx(one.volume_ml.value)


@pytest.mark.parametrize(
    "wrong",
    [
        {"serves": 0},
        {"serves": 4, "spare": -1},
        {"serves": 4, "loss_percent": 95},
        {"serves": 4, "jigger": Amount(5, "g")},
        {"serves": 4, "jigger": Amount(0, "ml")},
        {"serves": 4, "scale_g": 0},
    ],
)
def test_impossible_batches_are_refused(wrong):
    with pytest.raises(InvalidInput):
        Batch(**wrong)
