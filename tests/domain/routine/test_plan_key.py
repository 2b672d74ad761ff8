from dataclasses import dataclass, replace

from hypothesis import given, settings

from server.domain.glass.steps import Layer
from server.domain.routine.drink import Drink
from server.domain.routine.plan import Plan
from server.domain.routine.plan_key import plan_key
from server.domain.routine.routine import Routine, Segment
from server.domain.routine.rules import RuleSheet
from server.domain.whole.exchange import from_json, to_json
from tests.domain.drawn import WHOLE, drawn
from tests.factories import RULES, make_process, make_routine

PLAN = Plan(make_routine(processes=(make_process(),)), RULES)


@dataclass(frozen=True)
class LaterSegment(Segment):
    colour: str = ""
    lit: bool = False


def later(segment, **more):
    return LaterSegment(
        **{name: getattr(segment, name) for name in segment.__dataclass_fields__}, **more
    )


def test_a_field_of_a_later_version_leaves_the_key_as_it_is():
    routine = replace(PLAN.routine, segments=tuple(map(later, PLAN.routine.segments)))
    assert plan_key(replace(PLAN, routine=routine)) == plan_key(PLAN)


def test_a_field_of_a_later_version_counts_once_it_is_used():
    first, *others = PLAN.routine.segments
    routine = replace(PLAN.routine, segments=(later(first, lit=True), *others))
    assert plan_key(replace(PLAN, routine=routine)) != plan_key(PLAN)


def test_the_key_of_a_plan_is_the_same_for_ever():
    """Written down when keys became what they are: runs that are stored are found by it."""
    assert plan_key(PLAN) == "1805cffca2cf794d14eba75401360de3"


@WHOLE
@given(drawn(Routine))
def test_a_plan_that_was_kept_and_read_again_has_its_key(routine):
    plan = Plan(routine, RULES)
    assert plan_key(from_json(Plan, to_json(plan))) == plan_key(plan)


@settings(max_examples=20)
@given(drawn(RuleSheet), drawn(RuleSheet))
def test_plans_have_one_key_only_where_they_are_equal(one, other):
    keys = [plan_key(Plan(PLAN.routine, rules)) for rules in (one, other)]
    assert (keys[0] == keys[1]) == (one == other)


def test_steps_of_unlike_kinds_are_unlike_plans():
    """Though they tell nothing but their kind, and that is the usual one of its type."""

    @dataclass(frozen=True)
    class Swirl:
        id: str
        kind: str = "swirl"

    drinks = [Drink("d", "Sour", steps=(step,)) for step in (Layer("st"), Swirl("st"))]
    plans = [Plan(replace(PLAN.routine, drinks=(drink,)), RULES) for drink in drinks]
    assert len({plan_key(plan) for plan in plans}) == 2
