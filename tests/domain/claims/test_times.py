"""Times that are said, against the times of the thing that is done for so long."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.facts import FINISH, SLOT, KnownNumber, plan_times
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Figure
from server.domain.routine.ahead import Ahead
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet

SHOT = Brew(kind="espresso", dose_g=18, beverage_g=36, time_s=28)
OVERNIGHT = Brew(kind="immersion", dose_g=70, water_g=700, time_s=14 * 3600)
PLANNED = (
    KnownNumber("time", "the slot", 600.0, 600.0, about=SLOT),
    KnownNumber("time", "the target finish", 570.0, 570.0, about=FINISH),
    KnownNumber("time", "“Brew the coffee”", 150.0, 150.0, about=("Brew the coffee",)),
    KnownNumber("time", "“Shake”", 12.0, 15.0, about=("Shake",)),
    KnownNumber("time", "“Blend”", 20.0, 24.0, about=("Blend",)),
)


def state(text, brew=None, name="Espresso"):
    parts = (
        Ingredient("c", name, Amount(60, "ml"), brew=brew),
        Ingredient("g", "Grape spirit, 40 % vol", Amount(40, "ml")),
    )
    drink = Drink("d", "Ferry", 1, parts)
    case = ScriptCase((Passage("s", text, "d"),), (drink,), times=PLANNED)
    (row,) = [row for row in ledger(case).rows if row.kind == "time"]
    return row.state if row.is_checked else "unchecked"


@pytest.mark.parametrize(
    "text",
    [
        "Let it rest for half a minute.",
        "I steam the milk for half a minute.",
        "I stir it for twenty-eight seconds.",
        "I stir for fifteen seconds.",
        "I let it settle, fifteen seconds.",
        "I infused the peel for ten minutes.",
    ],
)
def test_a_time_of_one_act_does_not_hold_by_that_of_another(text):
    assert state(text, SHOT) == "unchecked"


@pytest.mark.parametrize(
    "text",
    [
        "The cold brew coffee stands twelve hours.",
        "I leave the punch two hours, then it goes through a coffee filter.",
        "I warm the coffee with steam for three seconds.",
        "The coffee is good for ten seconds, taste it.",
        "Let the tea brew for four minutes.",
    ],
)
def test_a_step_of_the_plan_is_not_meant_because_a_noun_or_the_act_alone_is_shared(text):
    assert state(text) == "unchecked"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("I brew the coffee for two and a half minutes.", "backed"),
        ("I brew the coffee for four minutes.", "contradicted"),
        ("I shake it for twelve seconds.", "backed"),
        ("I shake it for thirty seconds.", "contradicted"),
        ("Now we blend for twenty seconds.", "backed"),
        ("It is blended with the ice for twenty seconds.", "backed"),
        ("I blend it for a minute.", "contradicted"),
        ("Hard shake, twelve seconds, and strain.", "backed"),
    ],
)
def test_a_step_of_the_plan_is_meant_where_its_act_and_its_thing_are_told(text, told):
    assert state(text) == told


@pytest.mark.parametrize(
    "text",
    [
        "The coffee is brewed for fourteen hours.",
        "It's seventy grams of coffee to seven hundred of water, left for fourteen hours.",
        "The cold brew coffee sits in the fridge for fourteen hours.",
        "Coarse coffee in cold water, overnight, fourteen hours.",
    ],
)
def test_the_time_a_brew_has_on_record_holds_before_a_step_of_the_plan_contradicts(text):
    assert state(text, OVERNIGHT, "Cold brew coffee") == "backed"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Cold brew coffee, I left it twelve hours in the cold.", "contradicted"),
        ("Cold brew coffee, I left it ten minutes on the bar.", "unchecked"),
        ("The grape spirit I left twelve hours in the cold.", "unchecked"),
    ],
)
def test_what_was_left_is_a_brew_only_where_it_was_named_last_and_the_time_is_like_its_own(
    text, told
):
    assert state(text, OVERNIGHT, "Cold brew coffee") == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("In under ten minutes.", "backed"),
        ("The slot is eight minutes.", "contradicted"),
        ("The oats steeped for ten minutes.", "unchecked"),
        ("Ten minutes on the sand and not on the flame.", "unchecked"),
    ],
)
def test_the_slot_is_meant_only_where_the_words_speak_of_it(text, told):
    assert state(text) == told


def test_when_the_talk_finishes_is_held_against_the_plan():
    assert state("We finish at nine and a half minutes.") == "backed"


def test_speech_without_marks_is_read_by_the_clause_and_not_by_all_that_is_said():
    text = (
        "so i brew the coffee while you look at the cards and i tell you of my aunt who has a small"
        " bar by the water and she never had a clock there are no watches in the house there i stir"
        " it for forty seconds and then it is the turn of the grape spirit which i like very much"
    )
    assert state(text) == "unchecked"


def test_how_long_an_ingredient_stands_before_it_goes_in_is_a_known_time():
    part = Ingredient("m", "Milk", Amount(60, "ml"), ahead=Ahead(out_min=Figure(20.0)))
    routine = Routine("r", "Ferry", "rules", drinks=(Drink("d", "Ferry", 1, (part,)),))
    planned = plan_times(Plan(routine, RuleSheet("rules", "House")))
    assert [(n.label, n.low) for n in planned if n.ingredient_id] == [("letting Milk stand", 1200)]
