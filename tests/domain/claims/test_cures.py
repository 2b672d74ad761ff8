"""A contradicted amount is settled in the script or in the recipe."""

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.cures import cures_of
from server.domain.claims.ledger import ledger
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import Plan
from tests.factories import RULES, make_routine, make_segment

RUM = Ingredient("rum", "Plum rum", Amount(180, "ml"))
ROUTINE = make_routine(
    segments=(make_segment("s1", said="Thirty millilitres of plum rum.", drink_id="d1"),),
    drinks=(Drink("d1", "Dusk", 4, (RUM,)),),
)


def contradicted(routine):
    rows = ledger(case_of(Plan(routine, RULES))).rows
    return [row for row in rows if row.state == "contradicted"]


def test_every_cure_settles_the_contradiction_for_which_it_stands():
    (row,) = contradicted(ROUTINE)
    cures = cures_of(row, ROUTINE)
    assert [cure.words for cure in cures] == [
        "Say 180 ml in all", "Say 45 ml each", "Make it 30 ml in all", "Make it 30 ml each",
    ]  # fmt: skip
    assert [contradicted(cure.routine) for cure in cures] == [[]] * 4
    assert cures[3].routine.drinks[0].ingredients[0].amount == Amount(120, "ml")


def test_what_is_said_twice_is_said_anew_in_both_places():
    twice = "Thirty millilitres of plum rum. Yes: thirty millilitres of plum rum!"
    routine = make_routine(
        segments=(make_segment("s1", said=twice, drink_id="d1"),), drinks=ROUTINE.drinks
    )
    (row,) = contradicted(routine)
    said = cures_of(row, routine)[1].routine.segments[0].said
    assert said == "45 ml of plum rum. Yes: 45 ml of plum rum!"


def test_the_reading_nearer_to_what_was_said_is_the_likely_one():
    (row,) = contradicted(ROUTINE)
    likely = [cure.short for cure in cures_of(row, ROUTINE) if cure.is_likely]
    assert likely == ["Say 45 ml", "Make it 30 ml"]
    routine = make_routine(
        segments=(make_segment("s1", said="I pour 150 ml of plum rum.", drink_id="d1"),),
        drinks=ROUTINE.drinks,
    )
    (row,) = contradicted(routine)
    assert [cure.id for cure in cures_of(row, routine) if cure.is_likely] == ["say", "make"]
