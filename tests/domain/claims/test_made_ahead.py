"""What was made before the slot is held against the words: batch, infusion, grams of a syrup."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.glass_facts import facts_of_glass
from server.domain.claims.ledger import ledger
from server.domain.glass.figures import Figure
from server.domain.glass.library import ingredient
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.ahead import Ahead
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import Plan
from tests.factories import RULES, make_routine, make_segment

PLUM = Ingredient(
    "plum", "Plum infusion", Amount(160, "ml"), substance=ingredient("cane-spirit-40").substance,
    ahead=Ahead(Amount(700, "ml"), 18, 20),
)  # fmt: skip
CORDIAL = Ingredient(
    "cordial", "Ginger cordial", Amount(30, "ml"), syrup=Syrup(500, 400, solids=250, by="grams")
)
DRINK = Drink("d1", "Orchard", 4, (PLUM, CORDIAL))


def states(said):
    routine = make_routine(
        segments=(make_segment("s1", said=said, drink_id="d1"),), drinks=(DRINK,)
    )
    facts = [facts_of_glass(DRINK, routine.segments, "WHO")]
    rows = ledger(case_of(Plan(routine, RULES), facts=facts)).rows
    return {row.state: row.why[0] for row in rows if row.kind not in ("descriptor", "ingredient")}


@pytest.mark.parametrize(
    "said",
    [
        "I made 700 millilitres of plum infusion.",
        "I take 160 millilitres of plum infusion.",
        "The plum infusion steeped for eighteen hours.",
        "The plum infusion steeped at 20 degrees.",
        "For the ginger cordial I cook 500 grams of it.",
    ],
)
def test_what_was_made_ahead_is_true_when_it_is_said(said):
    assert set(states(said)) == {"backed"}


@pytest.mark.parametrize(
    "said",
    [
        "I take 300 millilitres of plum infusion.",
        "The plum infusion steeped for six hours.",
        "The plum infusion steeped at 60 degrees.",
    ],
)
def test_another_figure_is_still_contradicted(said):
    assert set(states(said)) == {"contradicted"}


def test_the_reason_names_batch_and_part():
    why = states("I made 700 millilitres of plum infusion.")["backed"]
    assert "700 ml of Plum infusion is made at a time, 160 ml of it is used" in why


@pytest.mark.parametrize(
    ("said", "state"),
    [
        ("The tea goes in at twelve degrees.", "backed"),
        ("The tea comes out of the fridge at four degrees.", "backed"),
        ("The tea goes in at thirty degrees.", "contradicted"),
    ],
)
def test_what_stood_out_of_the_fridge_may_be_said_as_it_was_and_as_it_goes_in(said, state):
    tea = Ingredient(
        "tea", "Green tea", Amount(150, "ml"), substance=Substance("tea", temp_c=Figure(4.0)),
        ahead=Ahead(out_min=Figure(15.0, 10.0, 20.0)),
    )  # fmt: skip
    drink = Drink("d1", "Dusk", 1, (tea,))
    segments = (make_segment("s1", said=said, drink_id="d1"),)
    routine = make_routine(segments=segments, drinks=(drink,))
    facts = [facts_of_glass(drink, segments, "WHO", routine.processes)]
    rows = ledger(case_of(Plan(routine, RULES), facts=facts)).rows
    assert [row.state for row in rows if row.kind == "temperature"] == [state]
