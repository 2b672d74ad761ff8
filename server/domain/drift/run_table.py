"""Runs as a table: one row per counted run or part of one, one column per segment, gaps where marks
are missing.

Segments are matched by id, so runs of an edited routine stand in one table. A total is made
comparable by what it would have come to with today's segments (`comparable_s`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo

import numpy as np
from numpy.typing import NDArray

from server.domain.drift.laws import Array
from server.domain.drift.sessions import started_at
from server.domain.routine.routine import Routine
from server.domain.runs.labels import RunLabels
from server.domain.runs.summary import RunLine

Flags = NDArray[np.bool_]

SAME_TOTAL_S = 1.0
"""Splits that add up to the total within this leave no mark missing."""

MOST_GUESSED = 0.2
"""Largest part of the plan that may be new since a run, for its total to be converted."""


@dataclass(frozen=True, eq=False)
class RunTable:
    """Counted runs, oldest first, beside the segments of today's plan and those it used to have.

    `splits_s` holds a row per run and a column per segment, NaN where there is no split;
    `total_s` the totals as run, NaN for a part; `comparable_s` those totals with today's segments,
    NaN where too little of the routine is left to say.
    """

    run_ids: tuple[str, ...]
    names: tuple[str, ...]
    """What to call each run on a page."""
    started: tuple[datetime | None, ...]
    segment_ids: tuple[str, ...]
    segment_names: tuple[str, ...]
    planned_s: tuple[float | None, ...]
    """Likely durations of today's plan; None for a segment that is no longer in it."""
    splits_s: Array
    total_s: Array
    comparable_s: Array
    converted: Flags
    """Runs made with other segments than today's."""
    first_of_day: Flags
    """Runs before which no other was started on that day, broken-off ones included."""
    with_incident: Flags
    labels: tuple[RunLabels, ...]
    broken_off: int
    """Runs that were abandoned, which no figure here speaks of."""

    @property
    def runs(self) -> int:
        """How many rows the table holds: whole runs, and parts."""
        return len(self.run_ids)

    @property
    def wholes(self) -> int:
        """How many of them ran all of the routine; the rest are parts."""
        return int(np.isfinite(self.total_s).sum())

    @property
    def planned_columns(self) -> int:
        """How many columns belong to today's plan; they come first."""
        return sum(planned is not None for planned in self.planned_s)

    def quoted(self, run: int) -> str:
        """What to call a run within a sentence: in quotes where a person named it."""
        name = self.names[run]
        return name if name == f"run {run + 1}" else f"“{name}”"

    def day(self, run: int) -> date | None:
        """The day on which a run was started, where that is known."""
        started = self.started[run]
        return None if started is None else started.date()


def run_table(
    routine: Routine,
    lines: Sequence[RunLine],
    old_names: Mapping[str, str],
    *,
    zone: tzinfo = UTC,
    labels: Mapping[str, RunLabels] | None = None,
) -> RunTable:
    """The table of the runs of `lines`, oldest first, that count, and of the parts whose splits do.

    `zone` says which day a run belongs to; `labels` are found by run id.
    """
    counted = [line for line in lines if line.splits_count]
    planned = {segment.id: segment for segment in routine.segments}
    ids = list(
        dict.fromkeys([*planned, *(key for line in counted for key in line.summary.ends_ms)])
    )
    splits_s = _splits(counted, ids)
    total_s = np.array([_total_s(line) for line in counted], dtype=np.float64)
    planned_s = tuple(planned[key].duration.likely_s if key in planned else None for key in ids)
    comparable_s, converted = _comparable(splits_s, total_s, planned_s)
    firsts = _first_ids(lines, zone)
    known = labels or {}
    return RunTable(
        run_ids=tuple(line.id for line in counted),
        names=tuple(line.label or f"run {number}" for number, line in enumerate(counted, 1)),
        started=tuple(started_at(line, zone) for line in counted),
        segment_ids=tuple(ids),
        segment_names=tuple(
            planned[key].name if key in planned else old_names.get(key, "a former segment")
            for key in ids
        ),
        planned_s=planned_s,
        splits_s=splits_s,
        total_s=total_s,
        comparable_s=comparable_s,
        converted=converted,
        first_of_day=np.array([line.id in firsts for line in counted], dtype=np.bool_),
        with_incident=np.array([bool(line.summary.incidents) for line in counted], dtype=np.bool_),
        labels=tuple(known.get(line.id, RunLabels()) for line in counted),
        broken_off=sum(line.broken_off for line in lines),
    )


def _total_s(line: RunLine) -> float:
    return (line.total_ms or 0) / 1000 if line.counts else float("nan")


def _splits(counted: Sequence[RunLine], ids: Sequence[str]) -> Array:
    rows = [[line.summary.splits_ms.get(key) for key in ids] for line in counted]
    # None becomes NaN.
    return np.array(rows, dtype=np.float64).reshape(len(counted), len(ids)) / 1000


def _comparable(
    splits_s: Array, total_s: Array, planned_s: tuple[float | None, ...]
) -> tuple[Array, Flags]:
    """Totals as they would have been with today's segments.

    Splits of former segments are taken off; for a segment that is new since then the median of
    its splits is put in, or its plan. That is done only where the splits add up to the total, so
    that it is known what the run held, and where at most a fifth of the plan is put in.
    """
    today = np.array([planned is not None for planned in planned_s], dtype=np.bool_)
    known = np.isfinite(splits_s)
    complete = np.abs(np.nansum(splits_s, axis=1) - total_s) <= SAME_TOTAL_S
    former = known[:, ~today].any(axis=1)
    missing = ~known[:, today]
    converted = former | (complete & missing.any(axis=1))
    usual_s = _usual(splits_s[:, today], [each for each in planned_s if each is not None])
    guessed_s = missing @ usual_s
    comparable_s = total_s - np.nansum(splits_s[:, ~today], axis=1) + guessed_s
    sure = complete & (guessed_s <= MOST_GUESSED * usual_s.sum()) & (usual_s.sum() > 0)
    comparable_s = np.where(converted, np.where(sure, comparable_s, np.nan), total_s)
    return comparable_s, converted


def _usual(splits_s: Array, planned_s: Sequence[float]) -> Array:
    usual = [
        float(np.median(column[np.isfinite(column)])) if np.isfinite(column).any() else planned
        for column, planned in zip(splits_s.T, planned_s, strict=True)
    ]
    return np.array(usual, dtype=np.float64)


def _first_ids(lines: Sequence[RunLine], zone: tzinfo) -> set[str]:
    first: dict[date, tuple[datetime, str]] = {}
    for line in lines:
        started = started_at(line, zone)
        if started is not None:
            first[started.date()] = min(
                (started, line.id), first.get(started.date(), (started, line.id))
            )
    return {run_id for _, run_id in first.values()}
