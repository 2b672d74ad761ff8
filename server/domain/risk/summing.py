"""A simulation summed up under a rule sheet."""

from math import ceil, floor, log10

import numpy as np

from server.domain.base.durations import TICK_S
from server.domain.belief.scores import Array
from server.domain.risk.outcome import (
    QUANTILES,
    Forecast,
    Histogram,
    ProcessRisk,
    SegmentRisk,
)
from server.domain.risk.passage import Flags
from server.domain.risk.simulate import NeedRecord, Simulation
from server.domain.routine.rules import RuleSheet

BINS = 60
"""A histogram has at most so many bins."""

EARLIEST, LATEST = 0.001, 0.99
"""Quantiles between which finishes are counted in bins."""


def forecast_of(simulation: Simulation, rules: RuleSheet) -> Forecast:
    """What the simulated slots mean under `rules`."""
    finish_s = np.sort(simulation.finish_s)
    inside = inside_slot(simulation.finish_s, rules)
    shares, names = simulation.trace.shares, simulation.network.activities
    return Forecast(
        slots=len(finish_s),
        chance_inside=float(inside.mean()),
        chance_target=_chance_by(finish_s, rules.target_s),
        chance_cut_off=0.0 if rules.cutoff_s is None else 1 - _chance_by(finish_s, rules.cutoff_s),
        chance_all=float((inside & simulation.all_ready).mean()),
        penalty=float(penalties(finish_s, rules).mean()),
        mean_s=float(finish_s.mean()),
        sd_s=float(finish_s.std()),
        quantiles_s=tuple(quantile_s(finish_s, p) for p in QUANTILES),
        histogram=histogram(finish_s),
        segments=tuple(
            SegmentRisk(activity.id, activity.name, float(share), float(on_chain))
            for activity, share, on_chain in zip(
                names, shares[:-2], simulation.trace.on_chain, strict=True
            )
            if simulation.trace.followed
        ),
        processes=tuple(_process(need, simulation) for need in simulation.needs),
        share_incidents=float(shares[-2]),
        share_waiting=float(shares[-1]),
        finishes_s=finish_s,
    )


def inside_slot(finish_s: Array, rules: RuleSheet) -> Flags:
    """Which finishes lie inside the slot."""
    inside: Flags = finish_s <= rules.slot_s + TICK_S
    return inside


def penalties(finish_s: Array, rules: RuleSheet) -> Array:
    """The points that each finish loses: `RuleSheet.penalty` for many finishes at once."""
    over_s = np.round(finish_s - rules.slot_s - rules.grace_s, 3)
    begun = np.ceil(np.round(np.maximum(over_s, 0.0) / rules.penalty_every_s, 6))
    points: Array = begun * rules.penalty_per_s
    return points if rules.penalty_cap is None else np.minimum(points, rules.penalty_cap)


def quantile_s(sorted_s: Array, probability: float) -> float:
    """A quantile of values in rising order, each in the middle of its equal part of chance."""
    count = len(sorted_s)
    # Between two neighbours alone: the middles of all take longer than everything else here.
    below = min(max(int(probability * count - 0.5), 0), max(count - 2, 0))
    near_s = sorted_s[below : below + 2]
    return float(np.interp(probability, (np.arange(len(near_s)) + below + 0.5) / count, near_s))


def histogram(sorted_s: Array) -> Histogram:
    """Counts of values in rising order, in bins of 1, 2 or 5 s or a power of ten of these.

    The bins reach from the quantile EARLIEST to LATEST: a long tail would squeeze all else.
    """
    last = len(sorted_s) - 1
    first_s, last_s = float(sorted_s[floor(EARLIEST * last)]), float(sorted_s[ceil(LATEST * last)])
    width_s = _round_width((last_s - first_s) / (BINS - 1))
    start_s = floor(first_s / width_s) * width_s
    bins = np.floor((sorted_s - start_s) / width_s)
    count = int((last_s - start_s) // width_s) + 1
    earlier, later = int((bins < 0).sum()), int((bins >= count).sum())
    inner = bins[earlier : len(bins) - later].astype(np.intp)
    counts = np.bincount(inner, minlength=count)
    return Histogram(start_s, width_s, tuple(int(n) for n in counts), earlier, later)


def _round_width(least_s: float) -> float:
    if least_s <= 1:
        return 1.0
    power = 10.0 ** floor(log10(least_s))
    return float(next(step * power for step in (1, 2, 5, 10) if step * power >= least_s))


def _chance_by(sorted_s: Array, moment_s: float) -> float:
    return float(np.searchsorted(sorted_s, moment_s + TICK_S, side="right") / len(sorted_s))


def _process(need: NeedRecord, simulation: Simulation) -> ProcessRisk:
    name = next(a.name for a in simulation.network.activities if a.id == need.process_id)
    chance_late = 1 - float(need.in_time.mean())
    used = np.sort(need.waits_s[~np.isnan(need.waits_s)]).astype(float)
    return ProcessRisk(
        id=need.process_id,
        name=name,
        chance_ready=1 - chance_late,
        chance_fallback=1 - len(used) / len(need.waits_s),
        late_s=need.late_s / chance_late if chance_late > 0 else 0.0,
        waits_s=_three(used) if len(used) else None,
    )


def _three(sorted_s: Array) -> tuple[float, float, float]:
    return quantile_s(sorted_s, 0.1), quantile_s(sorted_s, 0.5), quantile_s(sorted_s, 0.9)
