"""Goals: "three runs in a row between 9:40 and 9:58, with every claim said", and the way there.

A run that was broken off is an attempt that failed; one that does not count for another reason is
none.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.durations import LONGEST_S, format_apart, format_duration
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.runs.labels import RunLabels
from server.domain.runs.summary import RunLine

MOST_RUNS = 100

Finish = Annotated[float, Between(0, LONGEST_S, "A finish lies between 0:00 and a day.")]


@dataclass(frozen=True)
class Goal(Document):
    """So many runs that end between two times, one after the other or in all.

    `with_claims` asks for every claim said. Raises InvalidInput on times that are out of order or
    longer than a day, and on fewer than one or more than a hundred runs.
    """

    runs: Annotated[int, Between(1, MOST_RUNS, f"Aim for 1 to {MOST_RUNS} runs.")] = 3
    low_s: Finish = 0.0
    high_s: Finish = 600.0
    in_a_row: bool = True
    with_claims: bool = False

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(self, low_s="low", high_s="high")
        if self.low_s > self.high_s:
            faults.append(
                Fault("high", f"The latest finish lies before {format_duration(self.low_s)}.")
            )
        return faults

    @property
    def words(self) -> str:
        """The goal as a sentence without its end."""
        # A goal of many runs is typed as a figure, and told as one.
        runs = "one run" if self.runs == 1 else f"{self.runs} runs"
        row = " in a row" if self.in_a_row and self.runs > 1 else ""
        claims = " with every claim said" if self.with_claims else ""
        low, high = format_duration(self.low_s), format_duration(self.high_s)
        return f"{runs}{row} between {low} and {high}{claims}"


@dataclass(frozen=True)
class Attempt:
    """Whether a run met the goal, and why not.

    A run whose claims nobody recorded is taken by its time alone; `unproven` says so.
    """

    run_id: str
    met: bool
    unproven: bool
    reason: str
    """Empty where it met the goal."""


@dataclass(frozen=True)
class Progress:
    """How far the goal has come.

    `now` counts the runs that meet it: the latest ones without a miss between where they have to
    be in a row, all of them otherwise. `best` is the most there ever were. `reached_by` is the run
    with which the goal was first met.
    """

    goal: Goal
    attempts: tuple[Attempt, ...]
    now: int
    best: int
    reached_by: str | None
    unproven: int
    """Runs among those counted in `now` whose claims nobody recorded."""

    @property
    def left(self) -> int:
        """Runs that are still missing."""
        return max(0, self.goal.runs - self.now)


def progress(
    goal: Goal, lines: Sequence[RunLine], labels: Mapping[str, RunLabels] | None = None
) -> Progress:
    """The progress of `lines`, oldest first, towards a goal; runs still going are left out."""
    known = labels or {}
    attempts = tuple(
        _attempt(goal, line, known.get(line.id, RunLabels()).claims_said)
        for line in lines
        if line.is_attempt
    )
    streak: list[Attempt] = []
    best, reached_by = 0, None
    for attempt in attempts:
        if attempt.met:
            streak.append(attempt)
        elif goal.in_a_row:
            streak = []
        best = max(best, len(streak))
        if reached_by is None and len(streak) >= goal.runs:
            reached_by = attempt.run_id
    unproven = sum(attempt.unproven for attempt in streak)
    return Progress(goal, attempts, len(streak), best, reached_by, unproven)


def _attempt(goal: Goal, line: RunLine, claims_said: bool | None) -> Attempt:
    reason = _reason(goal, line, claims_said)
    unproven = goal.with_claims and claims_said is None and not reason
    return Attempt(line.id, not reason, unproven, reason)


def _reason(goal: Goal, line: RunLine, claims_said: bool | None) -> str:
    if line.broken_off or line.total_ms is None:
        return "broken off"
    total_s = line.total_ms / 1000
    if total_s < goal.low_s:
        return _outside(goal.low_s - total_s, "too early")
    if total_s > goal.high_s:
        return _outside(total_s - goal.high_s, "too late")
    return "a claim was not said" if goal.with_claims and claims_said is False else ""


def _outside(by_s: float, words: str) -> str:
    return format_apart(by_s, words, same=f"just {words}", tenths=True)
