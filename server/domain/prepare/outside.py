"""Setting up and clearing away: what is planned, what the rules allow, and what runs of it took."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from server.domain.routine.plan import PHASES
from server.domain.routine.preparing import Chore, Phase
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.summary import RunLine

TOLD_BELOW_P = 0.05
"""A trend is told where chance alone shows one so rarely."""

LEAST_RUNS = 5
"""With four runs no order of them is as rare as that (two-sided, 2 of 24)."""


@dataclass(frozen=True)
class ChoreTimes:
    """A part with what it took (s): typically, and the last time; None where no run tells."""

    chore: Chore
    typical_s: float | None
    last_s: float | None
    times_s: tuple[float, ...] = ()

    @property
    def moves_s(self) -> float | None:
        """How much longer it gets from run to run; None where that is no more than chance."""
        return _moves(self.times_s)


@dataclass(frozen=True)
class Outside:
    """Setting up or clearing away in seconds; `allowed_s` is None where the rules know none.

    `totals_s` are its finished runs, the latest last.
    """

    phase: Phase
    chores: tuple[ChoreTimes, ...]
    allowed_s: float | None
    totals_s: tuple[float, ...]

    @property
    def planned_s(self) -> float:
        """What all its parts are planned to take."""
        return sum(each.chore.planned_s for each in self.chores)

    @property
    def typical_s(self) -> float | None:
        """What a run of it takes; None with no run."""
        return median(self.totals_s) if self.totals_s else None

    @property
    def moves_s(self) -> float | None:
        """How much longer it gets from run to run; None where that is no more than chance."""
        return _moves(self.totals_s)

    @property
    def tells_trend(self) -> bool:
        """Whether there are runs enough for a trend to show."""
        return len(self.totals_s) >= LEAST_RUNS


def outside_of(routine: Routine, rules: RuleSheet, lines: Sequence[RunLine]) -> tuple[Outside, ...]:
    """Both phases; `lines` are the runs of the routine, the latest last."""
    return tuple(_phase(routine, rules, lines, phase) for phase in PHASES)


def _phase(routine: Routine, rules: RuleSheet, lines: Sequence[RunLine], phase: Phase) -> Outside:
    runs = [line for line in lines if line.splits_count and _phase_of(line) == phase]
    chores = tuple(_times(each, runs) for each in routine.preparation.chores(phase))
    totals_s = tuple(line.total_ms / 1000 for line in runs if line.total_ms is not None)
    return Outside(phase, chores, rules.allowed_s(phase), totals_s)


def _phase_of(line: RunLine) -> Phase | None:
    return line.summary.part.phase if line.summary.part else None


def _times(chore: Chore, runs: Sequence[RunLine]) -> ChoreTimes:
    splits = [line.summary.splits_ms.get(chore.id) for line in runs]
    known_s = [each / 1000 for each in splits if each is not None]
    typical_s, last_s = (median(known_s), known_s[-1]) if known_s else (None, None)
    return ChoreTimes(chore, typical_s, last_s, tuple(known_s))


def _moves(times_s: Sequence[float]) -> float | None:
    if len(times_s) < LEAST_RUNS:
        return None
    # It loads NumPy, which few routines need here.
    import numpy as np

    from server.domain.drift.trend import trend

    found = trend(np.array(times_s), np.arange(float(len(times_s))))
    return found.slope_s if found is not None and found.p < TOLD_BELOW_P and found.slope_s else None
