"""How earlier forecasts did: what each said, and what then happened."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.domain.base.rates import wilson
from server.domain.routine.rules import RuleSheet

if TYPE_CHECKING:
    from server.domain.belief.believe import PastTotal

LEVELS = (0.8, 0.95)


@dataclass(frozen=True)
class Coverage:
    """Of `said` intervals of a level, how many `held` the run; bounds of that rate (Wilson, 95 %).

    The level lies between the bounds where the forecasts did as they said.
    """

    level: float
    said: int
    held: int
    low: float
    high: float


@dataclass(frozen=True)
class Calibration:
    """How well forecasts have done so far.

    `inside_expected` is the sum of the chances to be inside the slot, `inside_seen` the number of
    those runs that were: near each other where the chances were fair.
    """

    coverage: tuple[Coverage, ...]
    inside_expected: float
    inside_seen: int
    runs: int


def calibration(past: "Sequence[PastTotal]", rules: RuleSheet) -> Calibration | None:
    """How well the forecasts of `past` did; None where there was none."""
    if not past:
        return None
    return Calibration(
        coverage=tuple(_coverage(past, level) for level in LEVELS),
        inside_expected=sum(each.ahead.chance_by(rules.slot_s) for each in past),
        inside_seen=sum(each.took_s <= rules.slot_s for each in past),
        runs=len(past),
    )


def interval_of(past: "PastTotal", level: float) -> tuple[float, float]:
    """Between which times a run was believed to end with the chance `level`, seconds."""
    low_s, high_s = past.ahead.quantiles_s([(1 - level) / 2, (1 + level) / 2])
    return low_s, high_s


def _coverage(past: "Sequence[PastTotal]", level: float) -> Coverage:
    held = sum(each.held(level) for each in past)
    return Coverage(level, len(past), held, *wilson(held, len(past)))
