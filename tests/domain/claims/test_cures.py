"""A contradicted number is settled in the script, or where recipe or plan state it."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.cures import cures_of
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.ledger import ledger
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import Plan
from tests.domain.shorthand import glass_facts
from tests.factories import RULES, make_process, make_routine, make_segment

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


@pytest.mark.parametrize(
    ("language", "amount", "text", "anew"),
    [
        ("es", Amount(1.5, "tbsp"), "Lleva dos cucharadas de Plum rum.", "Lleva 1,5 cucharadas de"),
        (
            "de",
            Amount(37.5, "ml"),
            "Dazu zwanzig Milliliter Plum rum.",
            "37,5 Milliliter Plum",
        ),
        ("de", Amount(2, "tbsp"), "Dazu 20 ml Plum rum.", "Dazu 2 esslöffel Plum rum."),
    ],
    ids=["spoons", "a noun", "another unit"],
)
def test_an_amount_is_said_in_the_words_of_the_talk(language, amount, text, anew):
    routine = make_routine(
        language=language,
        segments=(make_segment("s1", said=text, drink_id="d1"),),
        drinks=(Drink("d1", "Dusk", 1, (replace(RUM, amount=amount),)),),
    )
    (row,) = contradicted(routine)
    cured = cures_of(row, routine)[0].routine
    assert anew in cured.segments[0].said
    assert contradicted(cured) == []


FACTS = (
    GlassFacts(
        "d1",
        (
            KnownNumber("temperature", "when the judges drink", 55.2, 58.9),
            KnownNumber("strength", "in the glass", 13.12, 13.64),
        ),
    ),
)
STATED = replace(RUM, substance=Substance(kind="spirit", abv=Figure(40.0)))


def saying(text, *parts):
    """A routine that says this of a drink with four serves, beside a process of 80 s."""
    return make_routine(
        segments=(make_segment("s1", said=text, drink_id="d1"), "s3"),
        drinks=(Drink("d1", "Dusk", 4, parts or (RUM,)),),
        processes=(make_process(),),
    )


def wrong(routine, facts=FACTS):
    rows = ledger(case_of(Plan(routine, RULES), facts=facts)).rows
    return [row for row in rows if row.state == "contradicted"]


def cures(routine, facts=FACTS):
    (row,) = wrong(routine, facts)
    return {cure.words: cure.routine for cure in cures_of(row, routine)}


@pytest.mark.parametrize(
    ("text", "words", "anew"),
    [
        ("Drink it at forty-eight degrees.", "Say 57 °C", "Drink it at 57 °C."),
        ("Drink it at 118 °F now.", "Say 135 °F", "Drink it at 135 °F now."),
        ("It has twenty percent alcohol.", "Say 13.4 %", "It has 13.4 % alcohol."),
        ("The slot is eleven minutes.", "Say 10 min", "The slot is 10 min."),
    ],
    ids=["celsius", "fahrenheit", "strength", "slot"],
)
def test_what_is_computed_or_ruled_can_only_be_said_right(text, words, anew):
    found = cures(saying(text))
    assert list(found) == [words]
    assert found[words].segments[0].said == anew
    assert wrong(found[words]) == []


def test_a_strength_of_the_recipe_is_said_right_or_made_so():
    routine = saying("The plum rum has 43 % vol.", STATED)
    found = cures(routine, glass_facts(routine))
    assert list(found) == ["Say 40 %", "Make it 43 %"]
    assert found["Say 40 %"].segments[0].said == "The plum rum has 40 % vol."
    made = found["Make it 43 %"]
    assert made.drinks[0].ingredients[0].substance.abv == Figure(43.0)
    assert [wrong(each, glass_facts(each)) for each in found.values()] == [[], []]


def test_a_strength_that_only_the_name_states_is_changed_there():
    named = replace(RUM, name="Plum rum, 40 % vol")
    made = cures(saying("The plum rum has 43 % vol.", named))["Make it 43 %"]
    assert made.drinks[0].ingredients[0].name == "Plum rum, 43 % vol"
    assert wrong(made) == []


def test_a_time_of_the_plan_is_said_right_or_planned_so():
    found = cures(saying("The drip takes five minutes and thirty seconds."))
    assert list(found) == ["Say 1 min 20 s", "Make it 5 min 30 s"]
    assert found["Say 1 min 20 s"].segments[0].said == "The drip takes 1 min 20 s."
    assert found["Make it 5 min 30 s"].processes[0].duration.likely_s == 330
    assert [wrong(each) for each in found.values()] == [[], []]


def test_a_count_of_serves_keeps_its_noun():
    found = cures(saying("I pour six glasses of it."))
    assert list(found) == ["Say 4 serves", "Make it 6 serves"]
    assert found["Say 4 serves"].segments[0].said == "I pour 4 glasses of it."
    assert found["Make it 6 serves"].drinks[0].serves == 6
    assert [wrong(each) for each in found.values()] == [[], []]


def test_serves_of_no_drink_in_particular_are_only_said_right():
    routine = make_routine(
        segments=(make_segment("s1", said="I pour nine glasses."),),
        drinks=(Drink("d1", "Dusk", 4), Drink("d2", "Dawn", 3)),
    )
    assert list(cures(routine)) == ["Say 4 serves", "Say 3 serves"]


@pytest.mark.parametrize(
    "text",
    [
        "Drink it at 40 to 45 degrees.",
        "Drip takes three to four minutes.",
        "It is under 20 degrees.",
    ],
    ids=["range", "times", "limit"],
)
def test_a_range_or_a_limit_is_left_to_the_presenter(text):
    routine = saying(text)
    assert [cures_of(row, routine) for row in wrong(routine)] == [()]


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
