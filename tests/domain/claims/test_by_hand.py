"""What the hands do, held against recipe and plan beside the talk."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.cures import cures_of
from server.domain.claims.ledger import ledger
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import Plan
from tests.factories import RULES, make_routine, make_segment

LEMON = Ingredient("l", "Lemon juice", Amount(40, "ml"))
COFFEE = Ingredient("c", "Filter coffee", Amount(180, "ml"), brew=Brew(water_c=94, time_s=150))
DUSK = Drink("d", "Dusk", 4, (LEMON, COFFEE))


def routine(hands, said=""):
    segment = make_segment("s1", said=said, hands=hands, drink_id="d")
    return make_routine(segments=(segment,), drinks=(DUSK,))


def checked(hands, said=""):
    return ledger(case_of(Plan(routine(hands, said), RULES)))


@pytest.mark.parametrize(
    "hands",
    [
        "Measure 30 ml of lemon juice into the jug.",
        "Brew the coffee with water of 85 °C.",
        "The brew takes 4:30 minutes.",
    ],
)
def test_a_number_of_the_hands_that_the_recipe_contradicts_is_told(hands):
    (row,) = checked(hands).rows
    assert (row.state, row.in_hands, row.sayings) == ("contradicted", "s1", ())
    assert row.why[0].startswith(f"In what the hands do, “{hands}”: it says ")


@pytest.mark.parametrize(
    "hands",
    [
        "Measure 40 ml of lemon juice, 10 ml for each glass.",
        "Taste plum. Pour 15 ml of lemon juice, then the rest.",
        "Rinse the cups at 90 °C and wait ten seconds.",
    ],
)
def test_what_holds_or_cannot_be_told_of_the_hands_has_no_row(hands):
    assert checked(hands).rows == ()


def test_hands_are_no_claim_and_no_part_of_the_talk():
    found = checked("Measure 30 ml of lemon juice.", said="I take 40 ml of lemon juice.")
    said, done = found.rows
    assert (said.state, done.state) == ("backed", "contradicted")
    assert not done.is_open
    assert [mark.row_key for mark in found.marks("s1")] == [said.key]
    assert cures_of(done, routine("")) == ()
