"""Numbers that say how well they are known: what went in (Figure) and what came out (Estimate).

>>> Figure(45.86, 39.0, 52.72, source="juice assay").most
52.72
>>> Estimate(20.0, 18.5, 21.0, lacks=("house liqueur",)).is_whole
False
"""

import math
from dataclasses import dataclass, replace
from typing import Annotated, Literal

from pydantic import Field

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.text import LINE

Source = Annotated[str, Field(max_length=2 * LINE)]
Basis = Literal["100 ml", "100 g"]

TYPICAL = "typical"
"""The source of a value that nobody published for just this thing: usual, not looked up."""


@dataclass(frozen=True)
class Figure(Document):
    """A property that went in: the value to reckon with, its range where known, its source.

    `low` and `high` are what nine in ten lie between, as far as the source or the trade tells.
    """

    value: float
    low: float | None = None
    high: float | None = None
    source: Source = ""

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        if not all(math.isfinite(part) for part in (self.value, self.least, self.most)):
            return [Fault("value", "A value has to be a finite number.")]
        if not self.least <= self.value <= self.most:
            return [Fault("value", "The value lies between its lowest and its highest.")]
        return []

    @property
    def least(self) -> float:
        """The lowest it may be; the value itself where no range was given."""
        return self.value if self.low is None else self.low

    @property
    def most(self) -> float:
        """The highest it may be; the value itself where no range was given."""
        return self.value if self.high is None else self.high

    @property
    def is_range(self) -> bool:
        """Whether it is known as a range only."""
        return self.least < self.most


@dataclass(frozen=True)
class Content(Figure):
    """So much of something in 100 ml (at 20 °C) or in 100 g of an ingredient.

    Brix is grams of sugar in 100 g: Content(50, per="100 g").
    """

    per: Basis = "100 ml"


@dataclass(frozen=True)
class Estimate:
    """A quantity that was computed: likely, lowest, highest.

    `lacks` names the ingredients that could not be counted because a property is not known; the
    numbers are then what the known ones give, not the whole: the least it may be, or the most
    where `is_most` says so, or neither where `is_open` does, for what is missing may thin or cool
    what is there as well as add to it.
    """

    value: float
    low: float
    high: float
    lacks: tuple[str, ...] = ()
    is_most: bool = False
    is_open: bool = False

    @property
    def is_whole(self) -> bool:
        """Whether every ingredient was counted."""
        return not self.lacks

    @property
    def bound(self) -> Literal["", "about", "at least", "at most"]:
        """What stands before a number that is not whole."""
        if self.is_whole:
            return ""
        return "about" if self.is_open else "at most" if self.is_most else "at least"

    @property
    def reach(self) -> tuple[float, float]:
        """What it lies between for certain: without end on the side that a bound leaves open.

        >>> Estimate(62.0, 60.0, 64.0, lacks=("mix",)).reach
        (60.0, inf)
        """
        low = -math.inf if self.bound in ("about", "at most") else self.low
        high = math.inf if self.bound in ("about", "at least") else self.high
        return low, high

    def is_apart_from(self, other: "Estimate") -> bool:
        """Whether no value can be both: their ranges do not overlap."""
        return self.reach[1] < other.reach[0] or other.reach[1] < self.reach[0]

    @property
    def is_range(self) -> bool:
        """Whether lowest and highest differ by more than rounding dust."""
        return self.high - self.low > 1e-9 * max(1.0, abs(self.value))

    def times(self, factor: float) -> "Estimate":
        """The estimate of `factor` (0 or more) times the quantity."""
        return replace(
            self, value=self.value * factor, low=self.low * factor, high=self.high * factor
        )
