"""Differences with their intervals beneath each other on one scale, in percent of its width."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.web.drift.groups import DifferenceRow

LEAST_REACH_S = 1.0


@dataclass(frozen=True)
class IntervalStrip:
    """A difference on the scale: where it stands, how far its interval reaches, where nought is."""

    x: float | None
    low: float | None
    high: float | None
    zero: float = 50.0


def strips(rows: Sequence[DifferenceRow]) -> list[IntervalStrip]:
    """A strip for each row; nought in the middle. The first row, the total, has its own scale."""
    total, *segments = rows
    reach_s = _reach_s(segments)
    return [_strip(total, _reach_s([total])), *(_strip(row, reach_s) for row in segments)]


def _reach_s(rows: Sequence[DifferenceRow]) -> float:
    # Bounds of a few runs reach far: they may run off the scale, the difference itself may not.
    known = [abs(row.shift_s) for row in rows if row.shift_s is not None]
    ends = sorted(abs(end) for row in rows for end in (row.low_s, row.high_s) if end is not None)
    usual = ends[int(0.9 * len(ends))] if ends else 0.0
    return max([LEAST_REACH_S, usual, *known]) * 1.05


def _strip(row: DifferenceRow, reach_s: float) -> IntervalStrip:
    def at(value_s: float | None) -> float | None:
        if value_s is None:
            return None
        return round(50 + 50 * max(-1.0, min(1.0, value_s / reach_s)), 2)

    return IntervalStrip(at(row.shift_s), at(row.low_s), at(row.high_s))
