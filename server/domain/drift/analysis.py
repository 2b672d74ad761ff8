"""Everything the runs of a routine say, in one value for the page, the sentences and the export."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from server.domain.drift.calibration import Calibration, calibration
from server.domain.drift.changes import LevelChange, changes
from server.domain.drift.control import IndividualsChart, ewma_signals, individuals
from server.domain.drift.laws import Array
from server.domain.drift.learning_curve import LearningCurve, learning_curves
from server.domain.drift.level import LevelOfTimes, OffPlan, level_of, off_plan
from server.domain.drift.looks import Looks, looks
from server.domain.drift.moves import Move, recent_move
from server.domain.drift.pairs import Pair, PairResult, compared, first_of_day, with_incident
from server.domain.drift.run_table import RunTable
from server.domain.drift.trend import Trend, trend
from server.domain.drift.wandering import Together, together
from server.domain.risk.next_run import NextRun
from server.domain.routine.rules import RuleSheet

LEAST_CHARTED = 5
"""Fewest runs since a change whose own limits are worth drawing."""

MOST_CHARTED = 200


@dataclass(frozen=True)
class Charts:
    """Control charts of the latest runs since the last change of level.

    `runs` are those charted (counted from 0 in the table). Signals of the charts are places in it.
    """

    runs: tuple[int, ...]
    individuals: IndividualsChart
    creeping: tuple[int, ...]
    """Where the weighted mean of the latest times lies outside its limits."""

    @property
    def signals(self) -> tuple[int, ...]:
        """Runs of which either chart says that they were out of the ordinary."""
        places = {*self.individuals.signals, *self.creeping}
        return tuple(self.runs[place] for place in sorted(places))


@dataclass(frozen=True, eq=False)
class SeriesDrift:
    """What the runs say of one segment, or of the total; parts are None where runs are too few.

    `runs` are the runs that have this time, `times_s` those times. `learning` is that of the n-th
    run of the routine. Changes are places in `runs`.
    """

    id: str
    name: str
    planned_s: float | None
    runs: Array
    times_s: Array
    level: LevelOfTimes | None
    off_plan: OffPlan | None
    trend: Trend | None
    move: Move | None
    changes: tuple[LevelChange, ...]
    charts: Charts | None
    learning: LearningCurve | None


TOTAL = "total"
"""Stands for the whole routine where a segment id is asked for."""


@dataclass(frozen=True, eq=False)
class Drift:
    """The analysis of a table of runs under a rule sheet.

    `ahead` is what is believed of the next run, None where it was not asked for.
    """

    table: RunTable
    rules: RuleSheet
    total: SeriesDrift
    segments: tuple[SeriesDrift, ...]
    """In the order of the table: today's plan first, former segments after."""
    together: Together | None
    pairs: tuple[PairResult, ...]
    ahead: NextRun | None
    calibration: Calibration | None

    @cached_property
    def looks(self) -> Looks:
        """Which segments changed, and what size of change so many runs can tell."""
        return looks(self.table.splits_s)


def analyse(
    table: RunTable, rules: RuleSheet, pairs: Sequence[Pair] = (), ahead: NextRun | None = None
) -> Drift:
    """The analysis of `table`; first runs of a day and incidents are compared beside `pairs`."""
    times_s = np.vstack([table.comparable_s, table.splits_s.T])
    total, *segments = map(
        _series,
        (TOTAL, *table.segment_ids),
        ("the whole routine", *table.segment_names),
        (rules.target_s, *table.planned_s),
        times_s,
        learning_curves(times_s, np.arange(1.0, table.runs + 1)),
    )
    planned = table.planned_columns
    return Drift(
        table=table,
        rules=rules,
        total=total,
        segments=tuple(segments),
        together=together(table.splits_s[:, :planned], table.segment_ids[:planned]),
        pairs=tuple(
            compared(table, pair) for pair in (first_of_day(table), with_incident(table), *pairs)
        ),
        ahead=ahead,
        calibration=None if ahead is None else calibration(ahead.past, rules),
    )


def _series(
    key: str, name: str, planned_s: float | None, column_s: Array, learning: LearningCurve | None
) -> SeriesDrift:
    known = np.flatnonzero(np.isfinite(column_s))
    times_s, runs = column_s[known], known.astype(np.float64)
    found = changes(times_s)
    return SeriesDrift(
        id=key,
        name=name,
        planned_s=planned_s,
        runs=runs,
        times_s=times_s,
        level=level_of(times_s),
        off_plan=None if planned_s is None else off_plan(times_s, planned_s),
        trend=trend(times_s, runs),
        move=recent_move(times_s, runs),
        changes=found,
        charts=_charts(times_s, known.tolist(), found),
        learning=learning,
    )


def _charts(times_s: Array, runs: list[int], found: tuple[LevelChange, ...]) -> Charts | None:
    start = found[-1].at if found else 0
    if times_s.size - start < LEAST_CHARTED:
        start = found[-2].at if len(found) > 1 else 0
    start = max(start, times_s.size - MOST_CHARTED)
    present_s = times_s[start:]
    chart = individuals(present_s)
    if chart is None:
        return None
    creeping = ewma_signals(present_s, target_s=chart.center_s, sigma_s=chart.sigma_s)
    return Charts(tuple(runs[start:]), chart, creeping)
