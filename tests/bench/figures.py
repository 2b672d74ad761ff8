"""What a bench found, as a table that says what it is measured against."""

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True)
class Figure:
    """One figure, with what a peer reached in the same run and the ratio that is aimed at.

    `ratio` is ours over the peer's; `aim` is a sentence such as "at least 0.5".
    """

    what: str
    value: float
    unit: str
    peer: float | None = None
    aim: str = ""

    @property
    def ratio(self) -> float | None:
        """Ours over the peer's."""
        return None if self.peer is None else self.value / self.peer

    def cells(self) -> tuple[str, ...]:
        """The figure as a row of the table."""
        peer = "" if self.peer is None else _short(self.peer)
        ratio = "" if self.ratio is None else f"{self.ratio:.2f}"
        return self.what, _short(self.value), self.unit, peer, ratio, self.aim


Row = tuple[str, ...]

HEAD = ("what", "ours", "unit", "peer", "ratio", "aim")


class Told(Protocol):
    """What a bench found, whatever its columns."""

    def cells(self) -> tuple[str, ...]:
        """It as a row of the table."""


def table(figures: Iterable[Told], head: tuple[str, ...] = HEAD) -> str:
    """The figures as lines of aligned text."""
    rows = [figure.cells() for figure in figures]
    return aligned(head, rows, texts=(0, 2, len(head) - 1))


def aligned(head: Row, rows: Sequence[Row], texts: Collection[int]) -> str:
    """Rows under their head, one line each; the columns in `texts` begin at the left."""
    lines = [head, *rows]
    widths = [max(len(row[column]) for row in lines) for column in range(len(head))]
    return "\n".join(_line(row, widths, texts) for row in lines)


def percentile(values: Iterable[float], percent: float) -> float:
    """The value below which `percent` of the values lie (nearest rank)."""
    ordered = sorted(values)
    return ordered[max(0, math.ceil(len(ordered) * percent / 100) - 1)]


def _line(row: Row, widths: list[int], texts: Collection[int]) -> str:
    padded = [
        cell.ljust(width) if column in texts else cell.rjust(width)
        for column, (cell, width) in enumerate(zip(row, widths, strict=True))
    ]
    return "  ".join(padded).rstrip()


def _short(value: float) -> str:
    return f"{value:,.0f}" if value >= 100 else f"{value:.3g}"
