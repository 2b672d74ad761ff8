"""What practice runs teach beyond single durations: slow days, and incidents.

All counted runs enter; splits in which something went wrong are kept apart, so that an incident
is not taken for the presenter's usual pace as well.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from statistics import fmean, median, stdev

PLAN_CORRELATION = 0.2
"""Assumption, no source: how alike the splits of one run are, before runs say."""

PLAN_CORRELATION_RUNS = 8.0
"""Assumption, no source: that value weighs as much as so many runs."""

MOST_CORRELATION = 0.95

ASSUMED_COSTS_S = (5.0, 10.0, 20.0)
"""Assumption, no source: what an incident costs, each as often, until runs show enough."""

ENOUGH_COSTS = 3
"""Seen costs from which on the assumed ones are left out."""

PLACE_WEIGHT = 3.0
"""Assumption, no source: how many seen incidents the rule "by length" weighs as their place."""


@dataclass(frozen=True)
class MeasuredRun:
    """A finished run: seconds by id of segment or process; where each incident happened.

    The place of an incident is the id of a segment, or None where it is not known.
    """

    durations_s: Mapping[str, float]
    incidents: tuple[str | None, ...] = ()


@dataclass(frozen=True)
class Correlation:
    """How alike the splits of one run are: a slow day is slow throughout.

    The splits of a run share one factor; `rho` is the part of their variance (on the log scale)
    that it makes up. `plan_weight` says how much of `rho` is still assumption.
    """

    rho: float = PLAN_CORRELATION
    runs: int = 0

    @property
    def plan_weight(self) -> float:
        """1 without runs, towards 0 with many."""
        return PLAN_CORRELATION_RUNS / (PLAN_CORRELATION_RUNS + max(self.runs - 1, 0))


@dataclass(frozen=True)
class Incidents:
    """How often something goes wrong, what it costs, and where.

    The rate per slot is a gamma distribution with `shape` and `runs`: what is left of the
    Jeffreys prior of a Poisson rate, Gamma(1/2, 0), after the runs. Without runs there are none.
    `weights` (id -> weight) say where they happen; `assumed_costs` that too few were seen.
    """

    shape: float = 0.5
    runs: int = 0
    costs_s: tuple[float, ...] = ASSUMED_COSTS_S
    assumed_costs: bool = True
    weights: Mapping[str, float] | None = None

    @property
    def rate(self) -> float:
        """Incidents to be expected in a slot."""
        return self.shape / self.runs if self.runs else 0.0


def clean_splits(runs: Iterable[MeasuredRun]) -> dict[str, list[float]]:
    """Id -> its measured seconds, without those in which something went wrong."""
    found: dict[str, list[float]] = {}
    for run in runs:
        for each, seconds in run.durations_s.items():
            if each not in run.incidents:
                found.setdefault(each, []).append(seconds)
    return found


def correlation_of(runs: Sequence[MeasuredRun], ids: Iterable[str]) -> Correlation:
    """The correlation of the splits named by `ids`, shrunk towards PLAN_CORRELATION.

    The mean of all pairwise sample correlations, which needs no fit: of standardised splits z,
    the sum over runs of (sum z)² - sum z² over its expected count of pairs.
    """
    scores = _scores(runs, ids)
    crossed = sum(sum(row) ** 2 - sum(z * z for z in row) for row in scores)
    pairs = sum(len(row) * (len(row) - 1) for row in scores)
    counted = sum(len(row) > 1 for row in scores)
    if counted < 2:
        return Correlation()
    # A sample correlation divides by n - 1: over all runs one run's worth of pairs too many.
    seen = crossed / (pairs * (counted - 1) / counted)
    weight = PLAN_CORRELATION_RUNS
    rho = (weight * PLAN_CORRELATION + (counted - 1) * seen) / (weight + counted - 1)
    return Correlation(min(max(rho, 0.0), MOST_CORRELATION), counted)


def _scores(runs: Sequence[MeasuredRun], ids: Iterable[str]) -> list[list[float]]:
    """Each run's clean splits in standard deviations from their segment's mean."""
    rows: list[list[float]] = [[] for _ in runs]
    for each in ids:
        at = [
            (n, run.durations_s[each])
            for n, run in enumerate(runs)
            if each in run.durations_s and each not in run.incidents
        ]
        values = [value for _, value in at]
        spread = stdev(values) if len(values) > 1 else 0.0
        if spread > 0:
            centre = fmean(values)
            for n, value in at:
                rows[n].append((value - centre) / spread)
    return rows


def incidents_of(runs: Sequence[MeasuredRun], likely_s: Mapping[str, float]) -> Incidents:
    """The incidents that `runs` show; `likely_s` (id -> s) are the segments they may happen in."""
    if not runs:
        return Incidents(weights=dict(likely_s))
    places = [each for run in runs for each in run.incidents]
    seen_s = _excesses(runs, likely_s)
    enough = len(seen_s) >= ENOUGH_COSTS
    return Incidents(
        shape=0.5 + len(places),
        runs=len(runs),
        costs_s=tuple(seen_s) if enough else (*seen_s, *ASSUMED_COSTS_S),
        assumed_costs=not enough,
        weights=_places(places, likely_s),
    )


def _excesses(runs: Iterable[MeasuredRun], likely_s: Mapping[str, float]) -> list[float]:
    """What each incident of known place cost beyond that segment's usual time."""
    runs = tuple(runs)
    usual_s = {each: median(values) for each, values in clean_splits(runs).items()}
    return list(chain.from_iterable(_excesses_of(run, usual_s, likely_s) for run in runs))


def _excesses_of(
    run: MeasuredRun, usual_s: Mapping[str, float], likely_s: Mapping[str, float]
) -> list[float]:
    excesses = []
    for each in run.incidents:
        if each is not None and each in run.durations_s and each in likely_s:
            over_s = run.durations_s[each] - usual_s.get(each, likely_s[each])
            excesses.append(max(over_s, 0.0) / run.incidents.count(each))
    return excesses


def _places(places: Sequence[str | None], likely_s: Mapping[str, float]) -> dict[str, float]:
    total_s = sum(likely_s.values()) or 1.0
    return {
        each: PLACE_WEIGHT * seconds / total_s + places.count(each)
        for each, seconds in likely_s.items()
    }
