"""What the page of what is made ahead shows."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from server.domain.glass.caution import DEFER
from server.domain.prepare.proposals import TaskProposal
from server.domain.prepare.spans import format_span, format_wait
from server.domain.prepare.timetable import (
    PlacedTask,
    Timetable,
    keeping_cautions,
    timetable,
    what_gives,
)
from server.domain.routine.preparing import Task, Where
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.forms import Form
from server.web.frame.local_zone import LOCAL
from server.web.frame.shown import RoutinePage
from server.web.prepare.days import DayTape, at, clock_words, days_of, moment_words
from server.web.prepare.kit_view import tints_of

MADE: Literal["made"] = "made"
"""Under this the ticks of tasks are kept."""

MOST_ASKED = 6
"""Of so many tasks it is asked whether all would fit without them."""


@dataclass(frozen=True)
class Shown:
    """The timetable in words: its headline, what is amiss, its days, and what is done already.

    `due_ms` is when the next task has to begin, None where there is none, and `due_words` how long
    that is off. `untimed` are the tasks where no moment on stage is known.
    `order_words` say how far from the latest possible the order may be.
    """

    headline: str
    beneath: str
    due_ms: int | None
    due_words: str
    warnings: tuple[str, ...]
    days: tuple[DayTape, ...]
    untimed: tuple[Task, ...]
    done: tuple[Task, ...]
    cautions: tuple[str, ...]
    order_words: str = ""


@dataclass(frozen=True)
class RuledTimes:
    """What the rules give of the time before the slot, in words; empty where they say nothing."""

    set_up: str
    waiting: str


@dataclass(frozen=True, kw_only=True)
class PrepPage(RoutinePage, folder="prep"):
    """What is made ahead of a routine; `helpers` are those whose hands were named so far."""

    shown: Shown
    proposals: tuple[TaskProposal, ...]
    edit: str
    form: Form
    ruled: RuledTimes
    where: Mapping[Where, str]
    helpers: tuple[str, ...]
    now_ms: int


def shown_of(routine: Routine, done: Collection[str], now_s: float) -> Shown:
    """The page without its form; `done` are the ids of tasks that are ticked."""
    given = routine.preparation
    finished = tuple(task for task in given.tasks if task.id in done)
    left = tuple(task for task in given.tasks if task.id not in done)
    cautions = keeping_cautions(given.tasks)
    if cautions:
        cautions = (*cautions, DEFER)
    if given.journey.stage_ms is None:
        headline = "When are you on stage?" if given.tasks else "Nothing is made ahead yet"
        return Shown(headline, "", None, "", (), (), left, finished, cautions)
    table = timetable(given.tasks, given.journey, LOCAL, done)
    is_past = table.stage_s < now_s
    headline, beneath = _headline(table, left, now_s)
    warnings = () if is_past else tuple(_warnings(routine, table, done, now_s))
    # Of what is past nothing is behind.
    days = days_of(table, _tints(routine), table.first_s if is_past else now_s)
    first = table.placed[0] if table.placed and not is_past else None
    due_ms = None if first is None else round(first.start_s * 1000)
    off_s = first.start_s - now_s if first else 0.0
    due_words = format_wait(off_s)
    order = _order_words(table)
    return Shown(
        headline, beneath, due_ms, due_words, warnings, days, (), finished, cautions, order
    )


def ruled_of(rules: RuleSheet) -> RuledTimes:
    """What the rules give of the time before the slot."""
    set_up, waiting = (
        "" if each is None else f"The rules give {format_span(each)}."
        for each in (rules.set_up_s, rules.waiting_s)
    )
    return RuledTimes(set_up, waiting)


def _order_words(table: Timetable) -> str:
    if table.gap_s < 60:
        return ""
    return (
        "With so many tasks not every order is tried: another one could begin "
        f"{format_span(table.gap_s)} later at the most."
    )


def _headline(table: Timetable, left: Sequence[Task], now_s: float) -> tuple[str, str]:
    stage = f"On stage {moment_words(table.stage_s)}"
    if table.stage_s < now_s:
        return f"You were on stage {moment_words(table.stage_s)}", "Give the next time on stage."
    if not left:
        return "All that is made ahead is done" if table.placed else stage, _leaving(table)
    behind_s = table.behind_s(now_s)
    if behind_s >= 60:
        return f"{format_span(behind_s)} behind", f"{stage}. {_leaving(table)}"
    first = table.placed[0]
    if first.start_s <= now_s:
        return f"Now: {first.task.name}", f"{stage}. {_leaving(table)}"
    words = f"{_when(first, now_s)}: {first.task.name}"
    return words, f"{stage}. {_leaving(table)}"


def _when(placed: PlacedTask, now_s: float) -> str:
    is_today = at(placed.start_s).date() == at(now_s).date()
    return clock_words(placed.start_s) if is_today else moment_words(placed.start_s)


def _leaving(table: Timetable) -> str:
    is_same = at(table.leave_s).date() == at(table.stage_s).date()
    words = clock_words(table.leave_s) if is_same else moment_words(table.leave_s)
    return f"Leave at {words}." if any(leg.name == "Travel" for leg in table.legs) else ""


def _warnings(
    routine: Routine, table: Timetable, done: Collection[str], now_s: float
) -> Sequence[str]:
    found = [
        f"“{each.task.name}” has to keep {format_span(each.spoils_s)} longer than it does: make it "
        "there, or find a way to make it last."
        for each in table.placed
        if each.spoils_s
    ]
    behind_s = table.behind_s(now_s)
    if behind_s >= 60:
        found.append(_what_helps(routine, table, done, now_s))
    return found


def _what_helps(routine: Routine, table: Timetable, done: Collection[str], now_s: float) -> str:
    given = routine.preparation
    longest = sorted(table.placed, key=lambda each: each.start_s)[:MOST_ASKED]
    asked = {each.task.id for each in longest}
    gives = what_gives(given.tasks, given.journey, LOCAL, done, now_s, asked)
    behind = format_span(table.behind_s(now_s))
    if not gives:
        return f"It does not fit any more, {behind} too late: more than one thing has to go."
    names = " or ".join(f"“{task.name}”" for task in gives)
    return f"It fits again without {names}: buy it ready, leave it out, or have somebody help."


def _tints(routine: Routine) -> dict[str, str]:
    tints = tints_of(routine)
    return {
        task.id: tints.get(task.drink_id or "", "no-drink") for task in routine.preparation.tasks
    }
