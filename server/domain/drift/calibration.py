"""How earlier forecasts did: what each would have said, and what then happened."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.drift.forecast import LEVELS, Forecast, forecasts
from server.domain.drift.laws import Array, wilson
from server.domain.routine.rules import RuleSheet

HISTORY_RUNS = 200
"""Latest runs whose forecasts are worked out again: enough to judge them by, and of the present."""


@dataclass(frozen=True)
class PastForecast:
    """The forecast that stood before a run, and the time that run then took."""

    run_id: str
    forecast: Forecast
    total_s: float

    def held(self, level: float) -> bool | None:
        """Whether the run ended within the interval of that level; None where there was none."""
        interval = self.forecast.interval(level)
        return None if interval is None else interval.low_s <= self.total_s <= interval.high_s


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


def history(
    totals_s: Array, run_ids: Sequence[str], rules: RuleSheet
) -> tuple[tuple[PastForecast, ...], Forecast]:
    """The forecast before each of the latest runs (the first has none), and that of the next."""
    first = max(1, totals_s.size - HISTORY_RUNS)
    *told, ahead = forecasts(totals_s, rules, [*range(first, totals_s.size), totals_s.size])
    past = tuple(
        PastForecast(run_ids[each.runs], each, float(totals_s[each.runs])) for each in told
    )
    return past, ahead


def calibration(past: Sequence[PastForecast], rules: RuleSheet) -> Calibration | None:
    """How well the forecasts of `past` did; None where none said anything."""
    spoken = [each for each in past if each.forecast.inside is not None]
    if not spoken:
        return None
    return Calibration(
        coverage=tuple(_coverage(spoken, level) for level in LEVELS),
        inside_expected=sum(each.forecast.inside or 0.0 for each in spoken),
        inside_seen=sum(each.total_s <= rules.slot_s for each in spoken),
        runs=len(spoken),
    )


def _coverage(spoken: Sequence[PastForecast], level: float) -> Coverage:
    held = sum(bool(each.held(level)) for each in spoken)
    return Coverage(level, len(spoken), held, *wilson(held, len(spoken)))
