"""What a simulation answers: plain figures, ready to be shown."""

from bisect import bisect_right
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from server.domain.base.durations import TICK_S

if TYPE_CHECKING:
    from server.domain.belief.scores import Array


QUANTILES = (0.025, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 0.975, 0.99)


@dataclass(frozen=True)
class Histogram:
    """Counts of finish times in bins of `width_s`, the first from `start_s` on.

    `earlier` and `later` count what lies before the first bin and behind the last.
    """

    start_s: float
    width_s: float
    counts: tuple[int, ...]
    earlier: int = 0
    later: int = 0

    @property
    def end_s(self) -> float:
        """Where the last bin ends."""
        return self.start_s + self.width_s * len(self.counts)


@dataclass(frozen=True)
class SegmentRisk:
    """What a segment (or process) adds to the risk.

    `share` is its part of the variance of the finish (see `trace`); below zero it steadies the
    finish. `on_chain` is the chance that it lies on the critical chain.
    """

    id: str
    name: str
    share: float
    on_chain: float


@dataclass(frozen=True)
class ProcessRisk:
    """The chances of a parallel process that is needed by a segment.

    `chance_ready` is the chance that it is ready when the presenter needs it, `chance_fallback`
    that its fallback is taken. `late_s` is how late it is on average where it is late (0 where it
    never is). `waits_s` are seconds for which its product stands before use, one in ten below,
    half below, nine in ten below; None where the fallback is always taken.
    """

    id: str
    name: str
    chance_ready: float
    chance_fallback: float
    late_s: float
    waits_s: tuple[float, float, float] | None


@dataclass(frozen=True)
class Forecast:
    """Simulated slots under a rule sheet.

    Times are seconds on the elapsed clock, `penalty` points on average. `error` is the standard
    error of `chance_inside` from simulating no more than `slots`; drawing in strata makes it
    smaller than this in truth. `quantiles_s` follow QUANTILES. Where no chains were followed there
    are no `segments`.
    """

    slots: int
    chance_inside: float
    chance_target: float
    chance_cut_off: float
    chance_all: float
    """The chance to finish inside the slot with every process ready in time."""
    penalty: float
    mean_s: float
    sd_s: float
    quantiles_s: tuple[float, ...]
    histogram: Histogram
    segments: tuple[SegmentRisk, ...]
    processes: tuple[ProcessRisk, ...]
    share_incidents: float
    share_waiting: float
    """Part of the variance that waiting for processes and taking fallbacks adds."""
    finishes_s: "Array | tuple[float, ...]" = field(default=(), compare=False, repr=False)
    """Every simulated finish, the earliest first."""

    def quantile_s(self, probability: float) -> float:
        """One of the quantiles that are kept."""
        return self.quantiles_s[QUANTILES.index(probability)]

    def chance_between(self, low_s: float, high_s: float) -> float:
        """The chance to finish from one moment to another, both included."""
        by_high = bisect_right(self.finishes_s, high_s + TICK_S)
        before_low = bisect_right(self.finishes_s, low_s - TICK_S)
        return max(by_high - before_low, 0) / self.slots

    @property
    def share_meeting(self) -> float:
        """Part of the variance that belongs to no single part: which chain is the longest."""
        if self.sd_s < 1e-4:
            return 0.0
        shares = sum(segment.share for segment in self.segments)
        return 1 - shares - self.share_incidents - self.share_waiting

    @property
    def error(self) -> float:
        """The standard error of `chance_inside`."""
        return float((self.chance_inside * (1 - self.chance_inside) / self.slots) ** 0.5)
