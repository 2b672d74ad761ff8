"""The forms of what is made ahead: a task, and the way to the stage."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from typing import get_args

from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import write_number
from server.domain.prepare.proposals import TaskProposal
from server.domain.prepare.spans import parse_span, write_span
from server.domain.routine.edits import part_of
from server.domain.routine.preparing import MOST_TASKS, Journey, Makes, Task, Where
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.editing import NEW
from server.web.frame.forms import Typed
from server.web.frame.guard import Values
from server.web.frame.local_zone import LOCAL

JOURNEY = "journey"
AFTER = "after-"
"""Before the id of a task in the name of its box."""

WHERE: dict[Where, str] = {"home": "at home", "there": "there, before setting up"}
_HOME: Where = "home"
_OTHER: Makes = "other"


def task_from(typed: Typed, task_id: str) -> Task:
    """The task that a form describes; raises InvalidInput with every fault."""
    hands_s, alone_s = _span(typed, "hands"), _span(typed, "alone")
    keeps_s = _span(typed, "keeps") if typed.text("keeps") else None
    keeps_at_c = typed.optional_number("keeps_at")
    if not typed.failed("hands", "alone") and hands_s + alone_s == 0:
        typed.fault("hands", "Say how long it takes, by hand or by itself.")
    after = [
        name.removeprefix(AFTER)
        for name in typed.values
        if name.startswith(AFTER) and typed.text(name)
    ]
    return typed.built(
        lambda: Task(
            id=task_id,
            name=typed.text("name"),
            hands_s=hands_s,
            alone_s=alone_s,
            keeps_s=keeps_s,
            keeps_at_c=keeps_at_c,
            after_task_ids=tuple(after[:MOST_TASKS]),
            where=typed.chosen("where", WHERE, _HOME),
            shares=typed.text("shares"),
            who=typed.text("who"),
            makes=typed.chosen("makes", get_args(Makes), _OTHER),
            drink_id=typed.choice("drink"),
            ingredient_id=typed.choice("ingredient"),
        )
    )


def journey_from(typed: Typed, now_ms: int) -> Journey:
    """The way to the stage that a form describes; a time that is past is refused."""
    stage_ms = typed.take(lambda: _stage_ms(typed.text("stage"), now_ms), None)
    travel_s, set_up_s, waiting_s = (_span(typed, name) for name in ("travel", "set_up", "waiting"))
    from_hour = typed.whole_number("from_hour", 0, 23)
    to_hour = typed.whole_number("to_hour", 1, 24)
    return typed.built(lambda: Journey(stage_ms, travel_s, set_up_s, waiting_s, from_hour, to_hour))


def prep_values(
    routine: Routine, rules: RuleSheet, edit: str, offered: Iterable[TaskProposal] = ()
) -> Values:
    """The texts with which the open form starts; "task-new-…" starts with a proposal."""
    if edit == JOURNEY:
        return _journey_values(journey_at_first(routine.preparation.journey, rules))
    _, _, task_id = edit.partition("-")
    if task_id == NEW:
        return {"where": "home"}
    found = next((each for each in offered if f"{NEW}-{each.key}" == task_id), None)
    if found is not None:
        return {
            "name": found.name,
            "where": "there" if found.makes == "glasses" else "home",
            "makes": found.makes,
            "drink": found.drink_id or "",
            "ingredient": found.ingredient_id or "",
        }
    return _task_values(part_of(routine.preparation.tasks, task_id))


def journey_at_first(journey: Journey, rules: RuleSheet) -> Journey:
    """Where no time on stage is given yet, with the minutes that the rules give.

    >>> from server.domain.routine.rules import RuleSheet
    >>> journey_at_first(Journey(), RuleSheet("r", "R", set_up_s=300.0, waiting_s=600.0)).set_up_s
    300.0
    """
    if journey.stage_ms is not None:
        return journey
    return replace(
        journey,
        set_up_s=journey.set_up_s or rules.set_up_s or 0.0,
        waiting_s=journey.waiting_s or rules.waiting_s or 0.0,
    )


def with_journey(routine: Routine, journey: Journey) -> Routine:
    """The routine with another way to the stage."""
    return replace(routine, preparation=replace(routine.preparation, journey=journey))


def _task_values(task: Task) -> Values:
    return {
        "name": task.name,
        "hands": write_span(task.hands_s) if task.hands_s else "",
        "alone": write_span(task.alone_s) if task.alone_s else "",
        "keeps": "" if task.keeps_s is None else write_span(task.keeps_s),
        "keeps_at": "" if task.keeps_at_c is None else write_number(task.keeps_at_c),
        "where": task.where,
        "shares": task.shares,
        "who": task.who,
        "makes": task.makes,
        "drink": task.drink_id or "",
        "ingredient": task.ingredient_id or "",
        **{f"{AFTER}{each}": "yes" for each in task.after_task_ids},
    }


def _journey_values(journey: Journey) -> Values:
    stage = ""
    if journey.stage_ms is not None:
        stage = f"{datetime.fromtimestamp(journey.stage_ms / 1000, LOCAL):%Y-%m-%dT%H:%M}"
    return {
        "stage": stage,
        "travel": write_span(journey.travel_s),
        "set_up": write_span(journey.set_up_s),
        "waiting": write_span(journey.waiting_s),
        "from_hour": str(journey.from_hour),
        "to_hour": str(journey.to_hour),
    }


def _span(typed: Typed, name: str) -> float:
    text = typed.text(name)
    return typed.take(lambda: parse_span(text, name), 0.0) if text else 0.0


def _stage_ms(text: str, now_ms: int) -> int | None:
    if not text:
        return None
    try:
        shown = datetime.fromisoformat(text).replace(tzinfo=None, fold=0)
        stage_s = shown.replace(tzinfo=LOCAL).timestamp()
    except (ValueError, OverflowError, OSError) as error:
        raise InvalidInput.of("stage", "Give the day and the hour, as 2026-11-29 14:20.") from error
    if datetime.fromtimestamp(stage_s, LOCAL).replace(tzinfo=None) != shown:
        words = "That hour is left out on that day: the clocks are put forward."
        raise InvalidInput.of("stage", words)
    if stage_s * 1000 <= now_ms:
        raise InvalidInput.of("stage", "That is past. Give the next time on stage.")
    return round(stage_s * 1000)
