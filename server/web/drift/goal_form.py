"""The goal of a routine in a form, and the way there as a page shows it."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.durations import format_duration, write_duration
from server.domain.base.number_words import count
from server.domain.drift.goals import MOST_RUNS, Goal, Progress, progress
from server.domain.drift.run_labels import labels_of
from server.domain.risk.outcome import Forecast
from server.domain.risk.saying import in_a_hundred, inside_words
from server.domain.routine.rules import RuleSheet
from server.domain.runs.summary import RunLine
from server.web.frame.filters import run_name
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import opened

LATEST_ATTEMPTS = 8
BEFORE_TARGET_S = 10.0


@dataclass(frozen=True)
class AttemptRow:
    """A run against the goal, in words."""

    run_id: str
    name: str
    met: bool
    words: str


@dataclass(frozen=True)
class Aim:
    """A goal and how far it has come."""

    goal: Goal
    progress: Progress
    attempts: tuple[AttemptRow, ...]
    reached_by: str

    @property
    def words(self) -> str:
        """How far it has come, in a sentence."""
        now, runs = self.progress.now, self.goal.runs
        if self.progress.left == 0:
            return f"Reached: {count(now, 'run')} of {runs} meet it now."
        most = f"; the most so far was {self.progress.best}" if self.progress.best > now else ""
        return f"{now} of {runs} so far{most}. {count(self.progress.left, 'run')} to go."


def goal_from(typed: Typed) -> Goal:
    """The goal that a form describes; raises InvalidInput with every fault."""
    runs = typed.whole_number("runs", 1, MOST_RUNS)
    low_s, high_s = typed.duration("low"), typed.duration("high")
    in_a_row, with_claims = typed.ticked("in_a_row"), typed.ticked("with_claims")
    if typed.failed("runs", "low", "high"):
        typed.check()
    return typed.built(lambda: Goal(runs, low_s, high_s, in_a_row, with_claims))


def goal_values(goal: Goal | None, rules: RuleSheet) -> Form:
    """The form of a goal; without one, three in a row about the target of the rule sheet."""
    shown = goal or Goal(
        runs=3, low_s=max(0.0, rules.target_s - BEFORE_TARGET_S), high_s=rules.slot_s
    )
    values = {
        "runs": str(shown.runs),
        "low": write_duration(shown.low_s),
        "high": write_duration(shown.high_s),
        "in_a_row": "yes" if shown.in_a_row else "",
        "with_claims": "yes" if shown.with_claims else "",
    }
    return opened(values)


def aim(goal: Goal | None, lines: Sequence[RunLine]) -> Aim | None:
    """The goal with the way there; None where there is none."""
    if goal is None:
        return None
    found = progress(goal, lines, labels_of(lines))
    names = {line.id: run_name(line) for line in lines}
    rows = [
        AttemptRow(each.run_id, names[each.run_id], each.met, _words(each.reason, each.unproven))
        for each in reversed(found.attempts[-LATEST_ATTEMPTS:])
    ]
    return Aim(goal, found, tuple(rows), names.get(found.reached_by or "", ""))


def goal_words(goal: Goal, forecast: Forecast, rules: RuleSheet) -> str:
    """How likely the next run ends in the goal's window.

    One that is the slot itself is told in the words of the slot.
    """
    if goal.low_s == 0 and goal.high_s == rules.slot_s:
        return f"{inside_words(forecast, rules.slot_s)}."
    window = f"between {format_duration(goal.low_s)} and {format_duration(goal.high_s)}"
    chance = in_a_hundred(forecast.chance_between(goal.low_s, goal.high_s))
    return f"{chance} finish {window}."


def _words(reason: str, unproven: bool) -> str:
    if unproven:
        return "in time; nobody noted the claims"
    return reason or "met"
