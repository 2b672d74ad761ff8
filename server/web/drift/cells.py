"""Figures of drift as a page shows them: the figure, and how sure it is."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from server.web.frame.filters import decimal, split_ms

BOLD_BELOW_P = 0.05
"""A figure is set in bold where chance alone would do as much less often than this."""


@dataclass(frozen=True)
class Cell:
    """A figure, how sure it is in small letters, and whether it is more than chance."""

    text: str
    small: str = ""
    sure: bool = False


NONE = Cell("–")


def bounds(low_s: float | None, high_s: float | None, digits: int = 1) -> str:
    """The bounds of a figure: "−0.4 to 3.1"; empty where nothing bounds it."""
    if low_s is None or high_s is None:
        return ""
    return f"{decimal(low_s, digits)} to {decimal(high_s, digits)}"


def signed_hundredths(slope_s: float) -> str:
    """A slope with sign: a tenth of a second a run is a lot over fifty runs."""
    text = decimal(abs(slope_s), 2)
    sign = "±" if text == "0.00" else "−" if slope_s < 0 else "+"
    return f"{sign}{text} s"


def split_text(time_s: float | None) -> str:
    """A time as m:ss.t; "–" for none."""
    return split_ms(None if time_s is None else time_s * 1000)


def seconds_text(length_s: float | None) -> str:
    """A length without its sign; "–" for none."""
    return "–" if length_s is None else f"{length_s:.1f} s"


class Tested(Protocol):
    """Whatever has a chance of so clear a figure where there is nothing."""

    @property
    def p(self) -> float | None:
        """The chance."""


def beyond_chance(figures: Sequence[Tested | None]) -> list[bool]:
    """Which of many figures stand out, at most one in twenty of those by chance."""
    from server.domain.drift.multiplicity import adjusted

    chances = [None if each is None else each.p for each in figures]
    tested = iter(adjusted([p for p in chances if p is not None]))
    return [p is not None and next(tested) < BOLD_BELOW_P for p in chances]
