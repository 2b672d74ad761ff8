"""Two groups of runs held against each other, in total and segment by segment."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from server.domain.drift.groups import Difference, difference, usual_difference_s
from server.domain.drift.laws import Array
from server.domain.drift.run_table import Flags, RunTable


@dataclass(frozen=True, eq=False)
class Pair:
    """Which runs are held against which; `key` names the pair in addresses and exports."""

    key: str
    first_name: str
    second_name: str
    first: Flags
    second: Flags


@dataclass(frozen=True)
class SegmentDifference:
    """The difference in one segment, and how far two ordinary runs of it lie apart; seconds.

    `usual_s` is what two runs differ by at most in 95 of 100 cases, None with fewer than three.
    """

    segment_id: str
    difference: Difference | None
    usual_s: float | None


@dataclass(frozen=True, eq=False)
class PairResult:
    """How much longer the first group of a pair takes than the second."""

    pair: Pair
    total: Difference | None
    usual_total_s: float | None
    segments: tuple[SegmentDifference, ...]


def compared(table: RunTable, pair: Pair, *, level: float = 0.95) -> PairResult:
    """The differences of a pair: totals with today's segments, and every segment."""
    columns = (column for column in table.splits_s.T)
    return PairResult(
        pair=pair,
        total=difference(
            table.comparable_s[pair.first], table.comparable_s[pair.second], level=level
        ),
        usual_total_s=usual_difference_s(_known(table.comparable_s)),
        segments=tuple(
            SegmentDifference(
                key,
                difference(column[pair.first], column[pair.second], level=level),
                usual_difference_s(_known(column)),
            )
            for key, column in zip(table.segment_ids, columns, strict=True)
        ),
    )


def first_of_day(table: RunTable) -> Pair:
    """The first run of each day against the later ones."""
    known = np.array([each is not None for each in table.started], dtype=np.bool_)
    return Pair(
        "first-of-day",
        "the first run of a day",
        "later ones",
        known & table.first_of_day,
        known & ~table.first_of_day,
    )


def with_incident(table: RunTable) -> Pair:
    """Runs in which something went wrong against those without."""
    return Pair(
        "incidents",
        "a run with an incident",
        "one without",
        table.with_incident,
        ~table.with_incident,
    )


def tagged(table: RunTable, first_tag: str, second_tag: str) -> Pair:
    """Runs with one tag against runs with another, those with both left out."""
    first, second = (
        np.array([tag in label.tags for label in table.labels], dtype=np.bool_)
        for tag in (first_tag, second_tag)
    )
    return Pair(
        f"{first_tag}-{second_tag}",
        f"a run tagged “{first_tag}”",
        f"one tagged “{second_tag}”",
        first & ~second,
        second & ~first,
    )


def chosen(table: RunTable, first_ids: Sequence[str], second_ids: Sequence[str]) -> Pair:
    """Any runs against any others, single ones too."""
    first, second = (
        np.array([run_id in ids for run_id in table.run_ids], dtype=np.bool_)
        for ids in (set(first_ids), set(second_ids))
    )
    return Pair("chosen", "the first choice", "the second", first, second)


def _known(times_s: Array) -> Array:
    return times_s[np.isfinite(times_s)]
