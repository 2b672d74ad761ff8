"""Outside checks: the OIML tables' 1470.5 ml of water for a litre of 96 % down to 40 %, sugar that
stays the same when a syrup is thinned, and Newton's law at its own half-life."""

import math

import pytest

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.glass.calculators import CALCULATORS, answered, calculator


def asked(key, **changes):
    return answered(key, {**calculator(key).usual, **changes})


def fault(key, **changes):
    with pytest.raises(InvalidInput) as refused:
        asked(key, **changes)
    (found,) = refused.value.faults
    return found


@pytest.mark.parametrize("asks", CALCULATORS, ids=lambda asks: asks.key)
def test_every_calculator_answers_what_stands_in_it_first(asks):
    found = answered(asks.key, asks.usual)
    assert found.figure > 0
    assert found.words.endswith(".")


@pytest.mark.parametrize("asks", CALCULATORS, ids=lambda asks: asks.key)
def test_a_value_beyond_its_limits_is_told_beside_its_field(asks):
    for each in asks.asked:
        assert fault(asks.key, **{each.name: each.highest + 1}).field == each.name
        assert fault(asks.key, **{each.name: each.lowest - 1}).field == each.name


def test_equal_parts_of_sixty_and_twenty_are_forty():
    found = asked("blend", strong=60, weak=20, target=40, volume_ml=200)
    assert found.words == "Pour 100 ml of the strong one and 100 ml of the weak one."
    assert "ml at 40." in found.notes[0]


def test_water_for_a_spirit_counts_that_both_shrink():
    found = asked("weaken-spirit", volume_ml=1000, from_abv=96, to_abv=40)
    assert found.figure == pytest.approx(1470.5, abs=0.1)
    assert "makes 2,400 ml at 40 % vol" in found.words


def test_a_thinned_syrup_holds_the_sugar_it_held():
    found = asked("thin-syrup", mass_g=300, from_brix=60, to_brix=45)
    assert (300 + found.figure) * 0.45 == pytest.approx(300 * 0.60)


def test_a_syrup_that_will_crystallise_says_so():
    assert "crystallise" in asked("syrup-yield", sugar=800, water=300).notes[-1]
    assert len(asked("syrup-yield", sugar=100, water=100).notes) == 1


def test_thirty_of_lime_curdle_a_hundred_of_milk():
    # Common practice, no source: 30 ml of lime juice curdles 100 ml of hot milk; cold takes more.
    found = asked("curdle-milk", milk_ml=100, acid_percent=4.6, ph=2.3)
    assert 15 < found.figure < 30


def test_half_the_way_to_the_room_takes_the_half_life():
    found = asked("cool-down", from_c=80, room_c=20, to_c=50, per_min=0.05)
    assert found.figure == pytest.approx(math.log(2) / 0.05)
    assert found.notes == ()


def test_a_time_that_is_a_wide_guess_is_told_without_seconds():
    # Newton's law by hand: ln(54/34) over 0.04, 0.08 and 0.02 a minute are 11.57, 5.78, 23.13 min.
    words = asked("cool-down", from_c=75, room_c=21, to_c=55, drink_ml=200).words
    assert words == "After about 12 min it is at 55 °C; 6 min to 23 min are possible."
    measured = asked("cool-down", from_c=75, room_c=21, to_c=55, drink_ml=200, per_min=0.04)
    assert measured.words == "After about 11:34 it is at 55 °C."


def test_a_small_cup_may_cool_sooner_than_a_mug():
    # By geometry alone: surface to volume is volume to the power -1/3.
    mug, cup = (asked("cool-down", from_c=80, room_c=20, to_c=50, drink_ml=ml) for ml in (200, 40))
    assert cup.figure / mug.figure == pytest.approx((40 / 150) ** (1 / 3))


@pytest.mark.parametrize(
    ("key", "changes", "field"),
    [
        ("blend", {"target": 70}, "target"),
        ("weaken-spirit", {"to_abv": 60}, "to_abv"),
        ("thin-syrup", {"to_brix": 80}, "to_brix"),
        ("syrup-yield", {"sugar": 0}, "sugar"),
        ("curdle-milk", {"ph": 6}, "acid_percent"),
        ("cool-down", {"to_c": 90}, "to_c"),
    ],
)
def test_what_has_no_answer_is_told_beside_a_field(key, changes, field):
    assert fault(key, **changes).field == field


def test_a_calculator_that_is_not_there_is_not_found():
    with pytest.raises(NotFound):
        calculator("gold")
