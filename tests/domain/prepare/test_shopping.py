"""The shopping: packs against an integer program, and what is bought for so many runs."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from server.demo import demo_file
from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.brew import Brew
from server.domain.glass.substance import Cost, Substance
from server.domain.prepare.open_packs import packs_in_a_row
from server.domain.prepare.packs import cheapest
from server.domain.prepare.shopping import days_to_buy, shopping_of
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Good, Preparation, Size
from tests.factories import RULES, make_routine

SIZES = st.lists(st.tuples(st.integers(1, 40), st.integers(0, 60)), min_size=1, max_size=5)
JUICE = Ingredient("i1", "Juice", Amount(100, "ml"))


def bought_of(good=None, *, ingredient=JUICE, runs=(6, 1, 1), **changes):
    practice, dress, events = runs
    given_goods = (replace(Good("g1", "Juice"), **good),) if good else ()
    routine = make_routine(
        drinks=(Drink("d1", "Sour", 4, (ingredient,)),),
        preparation=Preparation(
            reserve_percent=0, goods=given_goods, practice_runs=practice, dress_runs=dress,
            events=events, **changes,
        ),
    )  # fmt: skip
    return shopping_of(routine, RULES)


def size(value, unit, price=None):
    return Size(Amount(value, unit), price)


@settings(max_examples=60)
@given(st.integers(1, 200), SIZES)
@example(64, [(1, 0), (1, 0), (1, 0)])
def test_packs_cost_what_an_integer_program_finds(needed, sizes):
    contents, prices = np.array(sizes, dtype=float).T
    found = milp(prices, constraints=LinearConstraint(contents, lb=needed), integrality=1)
    packs = cheapest(needed, sizes)
    assert packs.is_sure
    assert packs.cost == pytest.approx(found.fun)
    assert packs.holds == sum(
        n * content for n, (content, _) in zip(packs.counts, sizes, strict=True)
    )
    assert packs.holds >= needed


def test_packs_are_rounded_up_and_the_left_over_is_told():
    (item,) = bought_of({"sizes": (size(700, "ml", 20.0),)}).items
    assert item.bought.packs == ((2, size(700, "ml", 20.0)),)
    # Eight runs of 100 ml are 800; two bottles hold 1,400.
    assert (item.bought.left_over, item.bought.cost) == (Amount(600, "ml"), 40.0)


def test_the_cost_stands_in_all_and_for_each_run():
    shopping = bought_of({"sizes": (size(1, "l", 12.0),)})
    assert (shopping.runs, shopping.cost, shopping.cost_per_run) == (8, 12.0, 1.5)


def test_what_is_bought_fresh_is_rounded_up_for_every_run():
    (item,) = bought_of({"sizes": (size(160, "ml", 2.0),), "each_run": True}).items
    assert item.bought.packs[0][0] == 8
    assert item.bought.left_over == Amount(480, "ml")


def test_packs_without_a_price_leave_as_little_over_as_can_be():
    (item,) = bought_of({"sizes": (size(700, "ml"), size(500, "ml"))}).items
    assert [(count, each.amount.value) for count, each in item.bought.packs] == [(2, 500)]
    assert item.bought.cost is None


def test_a_size_without_a_price_beside_one_with_is_passed_over_and_told():
    (item,) = bought_of({"sizes": (size(700, "ml", 20.0), size(500, "ml"))}).items
    assert item.bought.unpriced
    assert [each.amount.value for _, each in item.bought.packs] == [700]


@pytest.mark.parametrize(
    ("good", "words"),
    [
        (None, "Say how it is sold."),
        (
            {"sizes": (size(1, "kg", 3.0),)},
            "A run takes 100 ml: give the packs in such a unit too.",
        ),
    ],
)
def test_what_cannot_be_told_says_why(good, words):
    (item,) = bought_of(good).items
    assert (item.bought, item.why) == (None, words)


def test_a_price_in_the_recipe_is_the_price_of_a_pack():
    priced = replace(JUICE, substance=Substance(cost=Cost(9.0, Amount(1, "l"))))
    assert bought_of(ingredient=priced).cost == 9.0


BREWED = replace(JUICE, brew=Brew(dose_g=25, beverage_g=50, kind="espresso"))


def test_brewed_coffee_is_bought_in_packs_of_ground_coffee():
    # Two brews of 25 g give the 100 ml of a run; eight runs take 400 g.
    good = {"sizes": (size(250, "g", 9.0), size(500, "ml", 1.0))}
    (item,) = bought_of(good, ingredient=BREWED).items
    assert item.is_ground
    assert item.bought.packs == ((2, size(250, "g", 9.0)),)
    assert (item.bought.left_over, item.bought.cost) == (Amount(100, "g"), 18.0)


def test_a_price_of_what_is_drunk_is_no_price_of_ground_coffee():
    priced = Substance("coffee", cost=Cost(2.0, Amount(100, "g")))
    (item,) = bought_of(ingredient=replace(BREWED, substance=priced)).items
    assert (item.bought, item.why) == (None, "Say how it is sold.")


def test_a_coffee_of_which_one_dose_is_not_known_asks_for_it():
    plain = replace(BREWED, id="i2", brew=None)
    drinks = (Drink("d1", "Sour", 4, (BREWED,)), Drink("d2", "Fizz", 4, (plain,)))
    good = Good("g1", "Juice", (size(250, "g", 9.0),))
    (item,) = shopping_of(
        make_routine(drinks=drinks, preparation=Preparation(goods=(good,))), RULES
    ).items
    assert (item.bought, item.why) == (
        None, "Of one drink its dose is not known: give it in the recipe.",
    )  # fmt: skip


def test_for_no_runs_nothing_is_bought():
    shopping = bought_of({"sizes": (size(700, "ml", 20.0),)}, runs=(0, 0, 0))
    assert (shopping.cost, shopping.cost_per_run, shopping.items[0].bought) == (0, None, None)


def test_what_is_there_already_is_not_bought():
    shopping = bought_of({"not_bought": True})
    assert (shopping.items, [each.name for each in shopping.not_bought]) == ((), ["Juice"])


@pytest.mark.parametrize(
    ("closed", "earliest", "latest"),
    [(None, None, 28), (3, 26, 28), (1, 28, 28), (0, 29, 29)],
)
def test_it_is_bought_so_that_it_keeps_until_the_stage(closed, earliest, latest):
    days = days_to_buy(Good("g", "Milk", closed_days=closed), date(2026, 11, 29))
    assert days.earliest == (None if earliest is None else date(2026, 11, earliest))
    assert days.latest == date(2026, 11, latest)


def test_a_pack_of_nothing_is_refused():
    with pytest.raises(InvalidInput, match="more than nothing"):
        size(0, "ml")


def test_everything_the_demo_buys_is_told_with_its_packs():
    file = demo_file()
    shopping = shopping_of(file.routine, file.rules)
    assert [each.why for each in shopping.items if each.why] == []
    assert shopping.cost == pytest.approx(sum(each.bought.cost for each in shopping.items))


def test_what_goes_bad_once_opened_is_bought_again():
    good = {"sizes": (size(700, "ml", 20.0),), "opened_days": 3}
    # A run a day: an opened bottle serves four runs of 100 ml, and 300 ml of it go bad.
    (daily,) = bought_of(good).items
    assert daily.bought.packs == ((2, size(700, "ml", 20.0)),)
    (weekly,) = bought_of(good, days_apart=7).items
    assert weekly.bought.packs == ((8, size(700, "ml", 20.0)),)
    assert weekly.bought.left_over == Amount(4800, "ml")
    (never,) = bought_of(good | {"opened_days": None}, days_apart=7).items
    assert never.bought.packs == ((2, size(700, "ml", 20.0)),)


def test_smaller_packs_win_where_what_is_left_goes_bad():
    sizes = (size(700, "ml", 20.0), size(100, "ml", 5.0))
    (item,) = bought_of({"sizes": sizes, "opened_days": 0}).items
    assert item.bought.packs == ((8, sizes[1]),)


@given(st.integers(1, 12), st.integers(1, 12), st.integers(10, 900), st.integers(10, 300))
@settings(max_examples=80)
def test_packs_in_a_row_cover_every_run_and_never_less_than_the_sum(runs, lasts, content, one_run):
    count = packs_in_a_row(one_run, content, runs, lasts)
    assert count * content >= runs * one_run
    assert count <= packs_in_a_row(one_run, content, runs, 1)
    assert packs_in_a_row(one_run, content, runs, runs) == -(-runs * one_run // content)
