"""Groups of runs held against each other, as a page shows them.

Needs NumPy: imported where it is used.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.text import with_capital
from server.domain.drift.analysis import Drift
from server.domain.drift.groups import Difference
from server.domain.drift.pairs import PairResult
from server.web.drift.cells import NONE, Cell, beyond_chance, bounds, split_text
from server.web.frame.filters import signed


@dataclass(frozen=True)
class DifferenceRow:
    """The difference between two groups in one segment or in total.

    `low_s` and `high_s` bound it where anything does; `shift_s` is None where a group is empty.
    """

    name: str
    first: str
    second: str
    shift: Cell
    runs: str
    shift_s: float | None = None
    low_s: float | None = None
    high_s: float | None = None


@dataclass(frozen=True)
class PairTable:
    """Two groups of runs held against each other."""

    key: str
    title: str
    total: DifferenceRow
    segments: tuple[DifferenceRow, ...]


def pair_tables(drift: Drift, results: Sequence[PairResult]) -> list[PairTable]:
    """Groups held against each other; those of which one is empty are left out."""
    found = [each for each in results if each.total is not None]
    sure = beyond_chance([each.total for each in found])
    return [pair_table(drift, each, is_sure) for each, is_sure in zip(found, sure, strict=True)]


def pair_table(drift: Drift, result: PairResult, total_is_sure: bool) -> PairTable:
    """A pair of groups, in total and segment by segment."""
    names = dict(zip(drift.table.segment_ids, drift.table.segment_names, strict=True))
    pair = result.pair
    sure = beyond_chance([each.difference for each in result.segments])
    return PairTable(
        key=pair.key,
        title=f"{with_capital(pair.first_name)} against {pair.second_name}",
        total=_row("The whole routine", result.total, result.usual_total_s, total_is_sure),
        segments=tuple(
            _row(names[each.segment_id], each.difference, each.usual_s, is_sure)
            for each, is_sure in zip(result.segments, sure, strict=True)
            if each.difference is not None
        ),
    )


def _row(name: str, told: Difference | None, usual_s: float | None, sure: bool) -> DifferenceRow:
    """A difference with how sure it is: its interval, or what two runs differ by anyhow."""
    if told is None:
        return DifferenceRow(name, "–", "–", NONE, "–")
    small = bounds(told.low_s, told.high_s)
    if not small and usual_s is not None:
        small = f"two ordinary runs differ by up to {usual_s:.1f} s"
        sure = abs(told.shift_s) > usual_s
    return DifferenceRow(
        name=name,
        first=split_text(told.first_s),
        second=split_text(told.second_s),
        shift=Cell(signed(told.shift_s), small, sure),
        runs=f"{told.n_first} / {told.n_second}",
        shift_s=told.shift_s,
        low_s=told.low_s,
        high_s=told.high_s,
    )
