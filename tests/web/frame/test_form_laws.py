"""The form of a value reads back as that value: of every form that shows something stored.

The values are drawn from their types, so a field that a form forgets is missed here.
"""

import ast
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date
from typing import Any

from hypothesis import assume, given, reject, seed, settings

from server.domain.base.errors import InvalidInput
from server.domain.drift.goals import Goal
from server.domain.glass.allergens import ALLERGENS
from server.domain.glass.making import AnyStep
from server.domain.glass.steps import USUAL_ICE_C
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.learn.aim import LearningAim
from server.domain.prepare.kit import KINDS
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Chore, Good, Journey, Preparation, Task, Thing
from server.domain.routine.routine import Process, Routine, Segment
from server.domain.routine.rules import RuleSheet
from server.domain.routine.station import Spot, Station, Surface
from server.domain.runs.labels import Occasion
from server.settings import ROOT
from server.store.sharing.inviting import OfferedShare
from server.web.drift.goal_form import goal_from, goal_values
from server.web.drinks.forms import (
    drink_from,
    drink_values,
    ingredient_from,
    ingredient_values,
)
from server.web.drinks.step_form import step_from, step_values
from server.web.frame.forms import Typed
from server.web.learn.pages import aim_from, aim_values
from server.web.plan.forms import _process_values, _segment_values, process_from, segment_from
from server.web.prepare.kit_forms import kit_values, thing_from
from server.web.prepare.outside import outside_values, with_chores
from server.web.prepare.prep_forms import (
    _journey_values,
    _task_values,
    journey_from,
    task_from,
)
from server.web.prepare.shopping_forms import good_from, shopping_values
from server.web.prepare.station_forms import (
    BAR,
    station_values,
    with_bar,
    with_spot,
    with_surface,
)
from server.web.routines.details import _values as details_values
from server.web.routines.details import _with_details
from server.web.routines.pages import routine_from
from server.web.routines.rule_sheets import _values as sheet_values
from server.web.routines.rule_sheets import sheet_from
from server.web.runs.occasion_form import occasion_from, occasion_values, offered_tags
from server.web.sharing.shares import share_from
from server.web.sharing.shares_page import share_values
from tests.domain.drawn import drawn, plain
from tests.factories import RULES
from tests.parsed import tree
from tests.table import table


@dataclass(frozen=True)
class Shown:
    """A form: its values, its texts, and how these are read where `before` is stored."""

    kind: Any
    texts: Callable[[Any], Mapping[str, str]]
    read: Callable[[Typed, Any], Any]
    can_be_typed: Callable[[Any], Any] = lambda value: value
    """What the form can hold: it keeps an order of its own, or asks for what may be missing."""
    drawn: Callable[[Any], Any] = drawn
    """How the values come about: of a whole routine only what stands in its own form."""


def ingredient_as_typed(part):
    substance = part.substance
    if substance is not None and substance.allergens is not None:
        ticked = tuple(each for each in ALLERGENS if each in substance.allergens)
        substance = replace(substance, allergens=ticked)
    # It is brewed or cooked, not both; and of which nothing is known, of that nothing is kept.
    return replace(
        part,
        syrup=None if part.brew else part.syrup,
        after_step_id=part.after_step_id or None,
        substance=None if substance == Substance() else substance,
    )


def drink_as_typed(drink):
    vessel = drink.service.vessel
    return replace(
        drink, service=replace(drink.service, vessel=None if vessel == Vessel() else vessel)
    )


def step_as_typed(step):
    """Whether its ice was measured is asked where it is at just the usual temperature."""
    usual = USUAL_ICE_C.get(step.kind)
    if usual is None or step.ice_c == usual.value:
        return step
    return replace(step, ice_measured=False)


def process_as_typed(process):
    return replace(
        process,
        after_segment_id=process.after_segment_id or "s1",
        before_segment_id=process.before_segment_id or "s2",
        readings=tuple(sorted(process.readings, key=lambda reading: reading.time_s)),
    )


def task_as_typed(task):
    """To the minute, and of some length."""
    spans = {
        name: None if (span_s := getattr(task, name)) is None else span_s // 60 * 60
        for name in ("hands_s", "alone_s", "keeps_s")
    }
    assume(spans["hands_s"] + spans["alone_s"] > 0)
    return replace(task, **spans)


def journey_as_typed(journey):
    """To the minute, on a date that this system can write."""
    stage_ms = journey.stage_ms
    assume(stage_ms is None or 86_400_000 < stage_ms < 4_000_000_000_000)
    spans = {
        name: getattr(journey, name) // 60 * 60 for name in ("travel_s", "set_up_s", "waiting_s")
    }
    stage_ms = None if stage_ms is None else stage_ms // 60_000 * 60_000
    return replace(journey, stage_ms=stage_ms, **spans)


def prepared(**given):
    return Routine("r", "Mine", "x", preparation=Preparation(**given))


def stationed(station):
    return prepared(station=station)


def on_a_bar(spot):
    above, bar = Surface("above-it", "Tray", 1, 1, 5, 5), Surface("under-all", "Bar", 1000, 1000)
    return Station((above, bar), (spot,))


def chore_as_typed(chore):
    assume(chore.name == chore.name.strip() and len(chore.name.splitlines()) == 1)
    return chore


def first_chore(given):
    return given.setting_up[0] if given.setting_up else None


def spot_as_typed(spot):
    """To the millimetre."""
    return replace(spot, x_cm=round(spot.x_cm, 1), y_cm=round(spot.y_cm, 1))


def sheet_as_typed(sheet):
    assume(all(call.words for call in sheet.time_calls))
    names = {each.name.casefold() for each in sheet.criteria}
    assume(len(names) == len(sheet.criteria))
    return replace(sheet, time_calls=tuple(sorted(sheet.time_calls, key=lambda call: call.at_s)))


def occasion_as_typed(occasion):
    return replace(
        occasion,
        left_out=(),
        tags=tuple(tag for tag in offered_tags([occasion]) if tag in occasion.tags),
    )


FORMS = {
    "segment": Shown(Segment, _segment_values, lambda typed, was: segment_from(typed, was.id)),
    "process": Shown(
        Process,
        _process_values,
        lambda typed, was: process_from(typed, was.id),
        process_as_typed,
    ),
    "drink": Shown(
        Drink, drink_values, lambda typed, was: drink_from(typed, was.id, was), drink_as_typed
    ),
    "ingredient": Shown(
        Ingredient,
        ingredient_values,
        lambda typed, was: ingredient_from(typed, was.id, was),
        ingredient_as_typed,
    ),
    "step": Shown(
        AnyStep,
        step_values,
        lambda typed, was: step_from(typed, was.id, was),
        step_as_typed,
    ),
    "rule sheet": Shown(
        RuleSheet, sheet_values, lambda typed, was: sheet_from(typed, was.id), sheet_as_typed
    ),
    "details": Shown(
        Routine,
        details_values,
        lambda typed, was: _with_details(was, routine_from(typed, was.id)),
        drawn=plain,
    ),
    "goal": Shown(
        Goal, lambda goal: goal_values(goal, RULES).values, lambda typed, _: goal_from(typed)
    ),
    "occasion": Shown(
        Occasion,
        lambda occasion: occasion_values(occasion, offered_tags([occasion])),
        lambda typed, _: occasion_from(typed),
        occasion_as_typed,
    ),
}
FORMS |= {
    "journey": Shown(
        Journey, _journey_values, lambda typed, _: journey_from(typed, 0), journey_as_typed
    ),
    "task": Shown(Task, _task_values, lambda typed, was: task_from(typed, was.id), task_as_typed),
    "thing": Shown(
        Thing,
        lambda thing: kit_values(prepared(things=(thing,)), f"thing-{thing.id}"),
        lambda typed, was: thing_from(typed, was.id, KINDS),
    ),
    "chore": Shown(
        Chore,
        lambda chore: {"set_up": outside_values(Preparation(setting_up=(chore,)))["set_up"]},
        lambda typed, was: first_chore(with_chores(typed, Preparation(setting_up=(was,)))),
        chore_as_typed,
    ),
    "surface": Shown(
        Surface,
        lambda surface: station_values(stationed(Station((surface,))), f"surface-{surface.id}"),
        lambda typed, was: with_surface(typed, Station(), was.id).surfaces[0],
    ),
    "spot": Shown(
        Spot,
        lambda spot: station_values(stationed(on_a_bar(spot)), f"spot-{spot.id}"),
        lambda typed, was: with_spot(typed, on_a_bar(was), was.id).spots[0],
        spot_as_typed,
    ),
    "bar": Shown(
        Station,
        lambda station: station_values(stationed(station), BAR),
        lambda typed, was: with_bar(typed, was),
    ),
    "good": Shown(
        Good,
        lambda good: shopping_values(prepared(goods=(good,)), f"good-{good.id}"),
        lambda typed, was: good_from(typed, was.id),
    ),
}
FORMS |= {
    "learning": Shown(LearningAim, aim_values, lambda typed, _: aim_from(typed, date.min)),
    "share": Shown(
        OfferedShare,
        lambda share: share_values(share.standing, hears=share.hears),
        lambda typed, was: OfferedShare(was.routine_id, *share_from(typed)),
    ),
}
WITH_A_LAW = {
    "learn.pages.aim_values",
    "prepare.outside.outside_values",
    "prepare.station_forms._bar_values",
    "prepare.station_forms._spot_values",
    "prepare.station_forms.station_values",
    "prepare.prep_forms._journey_values",
    "prepare.prep_forms._task_values",
    "prepare.kit_forms.kit_values",
    "prepare.shopping_forms.shopping_values",
    "drift.goal_form.goal_values",
    "drinks.forms.drink_values",
    "drinks.forms.ingredient_values",
    "drinks.step_form.step_values",
    "plan.forms._process_values",
    "plan.forms._segment_values",
    "routines.details._values",
    "routines.rule_sheets._values",
    "runs.occasion_form.occasion_values",
    "sharing.shares_page.share_values",
}
INSIDE_OF_THESE = {
    "prepare.prep_forms.prep_values",
    "drinks.recipe_lines._line_values",
    "drinks.pages._part_values",
    "runs.grouping.session_values",
    "drinks.forms.library_values",
    "drinks.pages._values",
    "drinks.substance_form.ahead_values",
    "drinks.substance_form.making_values",
    "drinks.substance_form.substance_values",
    "plan.forms._reading_values",
    "plan.forms._spread_values",
    "plan.forms.plan_values",
    "routines.criteria_form.criterion_values",
}
"""Texts that stand in one of those forms, or that choose which of them is shown."""

MOST_ROUNDS, A_ROUND = 40, 10
"""Rare fields are missed in a value of few; most forms need a round or two."""
OF_THE_LIBRARY = {"allergens_library"}
"""It tells what the library said where a name of it was typed, which no drawn name is."""


def stripped(value):
    """A value as it can be typed: no blanks around its texts, commas only between words."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, tuple):
        found = [stripped(each) for each in value]
        is_of_words = bool(found) and all(isinstance(each, str) for each in found)
        words = [re.sub("[,;،]", "", each).strip() for each in found] if is_of_words else found
        return tuple(dict.fromkeys(words)) if is_of_words else tuple(words)
    if not is_dataclass(value):
        return value
    return replace(
        value, **{each.name: stripped(getattr(value, each.name)) for each in fields(value)}
    )


def values_of(shown):
    def typed(value):
        try:
            return shown.can_be_typed(stripped(value))
        except InvalidInput:
            return reject()

    return shown.drawn(shown.kind).map(typed)


def read(shown, texts, was):
    typed = Typed(texts)
    value = shown.read(typed, was)
    typed.check()
    return value


@table("name", FORMS)
def test_a_form_that_nobody_touched_reads_back_as_its_value(name):
    shown = FORMS[name]

    @given(values_of(shown))
    def reads_back(value):
        assert read(shown, shown.texts(value), value) == value

    reads_back()


@table("name", FORMS)
def test_no_text_of_a_form_can_be_left_out(name):
    """Else the law above would not notice a field that is gone from the texts."""
    shown = FORMS[name]
    seen, missed = set(), set()

    def is_missed(value, left_out):
        texts = {**shown.texts(value), left_out: ""}
        try:
            return read(shown, texts, value) != value
        except InvalidInput:
            return True

    def look(value):
        names = set(shown.texts(value))
        seen.update(names)
        missed.update(each for each in names - missed if is_missed(value, each))

    for round_ in range(MOST_ROUNDS):
        drawing = given(values_of(shown))(look)
        seed(round_)(settings(max_examples=A_ROUND, database=None)(drawing))()
        if not seen - missed - OF_THE_LIBRARY:
            break
    assert seen - missed - OF_THE_LIBRARY == set()


def test_every_form_of_the_app_is_held_to_the_law():
    texts = {
        f"{path.parent.name}.{path.stem}.{item.name}"
        for path in (ROOT / "server" / "web").rglob("*.py")
        for item in tree(path).body
        if isinstance(item, ast.FunctionDef) and item.name.endswith("_values")
    }
    assert texts == WITH_A_LAW | INSIDE_OF_THESE
