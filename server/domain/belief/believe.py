"""The belief that everything which foretells goes by, read from a state.

>>> from server.domain.routine.estimate import TimeEstimate
>>> plan = {"talk": PlannedPart(TimeEstimate(40, 44, 52)),
...     "shake": PlannedPart(TimeEstimate(9, 10, 13))}
>>> runs = [Run({"talk": 50.0 + n % 2, "shake": 11.0}, total_s=61.0 + n % 2) for n in range(6)]
>>> after = belief_of(state_after(runs, plan), plan)
>>> round(after.parts["talk"].median_s, 1), round(after.total.median_s, 1)
(50.4, 61.7)
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp, sqrt

import numpy as np

from server.domain.base.durations import LONGEST_S
from server.domain.base.student import t_quantile
from server.domain.belief import shared_pace
from server.domain.belief.assumptions import Assumptions
from server.domain.belief.history import Plan, PlannedPart, Run, in_order
from server.domain.belief.levels import Now
from server.domain.belief.mishaps import Incidents, incidents_ahead
from server.domain.belief.shape import MOST_HIGHS, PLAN_FREEDOM, lean, scales, shared
from server.domain.belief.state import (
    State,
    folded,
    parts_of_whole,
    planned_as,
    started,
    total_ahead,
    with_parts,
)
from server.domain.belief.total import TotalAhead
from server.domain.routine.estimate import TimeEstimate

LOADING_STEPS = 14
"""Loadings are rounded to such parts of one: drawing keeps a stretch of cells for each in use."""

MOST_FREEDOM = 120

_MOST_LOG = 100.0
"""Far beyond any time, and far below what a floating-point number cannot hold."""


@dataclass(frozen=True)
class PartBelief:
    """A duration: exp(scale * t) times the median, t a Student t with `freedom` degrees.

    Below the median the scale is `low_scale`, above it `high_scale`. `loading` is how strongly it
    follows what all parts of a run share, 0 to 1; `plan_weight` the share of the median that is
    still the plan's; `runs` the number of splits seen.
    """

    median_s: float
    low_scale: float
    high_scale: float
    freedom: int
    runs: int = 0
    plan_weight: float = 1.0
    loading: float = 0.0

    @property
    def estimate(self) -> TimeEstimate:
        """The belief as low, likely and high, to be shown beside the plan's."""
        nine_in_ten = t_quantile(0.9, self.freedom)
        return TimeEstimate(
            self.median_s * exp(-self.low_scale * nine_in_ten),
            self.median_s,
            self.median_s * exp(min(self.high_scale * nine_in_ten, _MOST_LOG)),
        )

    @property
    def day_scale(self) -> float:
        """How much of the logarithm one deviation of what all parts share makes up."""
        return self._scale * self.loading

    @property
    def own_scale(self) -> float:
        """How far the logarithm scatters by itself."""
        return self._scale * sqrt(1 - self.loading**2)

    @property
    def _scale(self) -> float:
        return sqrt((self.low_scale**2 + self.high_scale**2) / 2)

    @property
    def longest_s(self) -> float:
        """The longest that is drawn: a day, or MOST_HIGHS times the high where that is less.

        exp(t) has no mean: without an end, a few draws of a very uneven duration would be all that
        any average tells of.
        """
        return min(MOST_HIGHS * self.estimate.high_s, LONGEST_S)


@dataclass(frozen=True)
class Why:
    """What a belief rests on, for a line beside the forecast.

    `effective_runs` is how many of the `runs` the present pace rests on; `slope_s` how much
    longer each run has lately been than the one before; `plan_share` how much of the expected
    time is still the plan's.
    """

    runs: int
    effective_runs: float
    slope_s: float
    plan_share: float


@dataclass(frozen=True)
class PastTotal:
    """What was believed of a run's time before it, and the time it took."""

    ahead: TotalAhead
    took_s: float
    run_id: str = ""

    @cached_property
    def place(self) -> float:
        """The chance that was given to a run as quick or quicker: even over 0 to 1 if right."""
        return self.ahead.chance_by(self.took_s)

    def held(self, level: float) -> bool:
        """Whether the middle interval of that chance held the run."""
        return abs(self.place - 0.5) <= level / 2


@dataclass(frozen=True)
class Belief:
    """What is believed of a plan's parts, of what they share, of incidents, and of the whole.

    `day_share` is the part of the variance of the whole that its parts share: the day and the
    doubt of the pace. `past` holds how earlier forecasts did, the oldest first.
    """

    parts: Mapping[str, PartBelief]
    day_share: float
    incidents: Incidents
    total: TotalAhead
    why: Why
    past: tuple[PastTotal, ...]


def state_after(
    history: Sequence[Run],
    plan: Plan,
    known: Assumptions | None = None,
    before: State | None = None,
) -> State:
    """The state after the runs of `history`, which further runs can be folded into.

    `before` is the state that they are folded into; None for that of the plan alone.
    """
    state = before or started(plan, known)
    for run in in_order(history):
        state = folded(state, run)
    return state


def belief_of(state: State, plan: Plan, now_ms: int | None = None) -> Belief:
    """What a state says of `plan`, which may have been changed since its latest run.

    Where only likely times differ from the plan that the state started with, this is what
    starting anew would give; a changed spread of a part enters the state only then.
    """
    likely_s = {each: part.estimate.likely_s for each, part in plan.items()}
    state = planned_as(with_parts(state, plan), likely_s)
    gap_days = shared_pace.days_between(state.at_ms, now_ms)
    before = shared_pace.ahead(shared_pace.moved_on(state.pace, state.known, gap_days))
    now = state.levels.now(state.known)
    total = total_ahead(state, now, before, parts_of_whole(state, plan))
    parts, day_share = _parts(state, now, plan, before, total)
    return Belief(
        parts=parts,
        day_share=day_share,
        incidents=incidents_ahead(state.mishaps, state.runs, plan, state.known),
        total=total,
        why=_why(state, parts, plan),
        past=tuple(PastTotal(*each) for each in state.past if each is not None),
    )


def _parts(
    state: State, now: Now, plan: Plan, before: shared_pace.PaceAhead, total: TotalAhead
) -> tuple[dict[str, PartBelief], float]:
    at = {each: row for row, each in enumerate(state.ids)}
    rows = [at[each] for each in plan]
    own = np.array([part.own for part in plan.values()], dtype=np.bool_)
    count = max(int(own.sum()), 1)
    single = now.variance[rows] + np.where(own, 1 - 1 / count, 1.0) * now.doubt[rows]
    times = np.exp(now.usual[rows]) * own
    weights = times / times.sum() if own.any() else times
    whole = total.scale**2
    # What is left of the whole's spread when every part has its own is what they share.
    common2 = max(whole - float(weights**2 @ single), before.level_scale2, 0.02 * whole)
    plan_shares = state.levels.plan_share
    found = {}
    for place, (each, part) in enumerate(plan.items()):
        row = rows[place]
        runs = float(state.levels.counted[row]) + state.known.part_runs
        level = before.level if part.own else 0.0
        shares = common2 if part.own else 0.0
        spread = _Spread(float(single[place]), runs, shares, before.freedom)
        plan_weight = float(plan_shares[row])
        mean = float(now.usual[row]) + level
        found[each] = _part(part, spread, mean, plan_weight, int(state.levels.runs[row]))
    share = common2 / (common2 + float(weights**2 @ single)) if own.any() else 0.0
    return found, share


@dataclass(frozen=True)
class _Spread:
    """Variances of the logarithm: a part's own, from so many runs, and what it shares."""

    own: float
    own_freedom: float
    shared: float
    shared_freedom: float

    @property
    def whole(self) -> float:
        return self.own + self.shared

    @property
    def freedom(self) -> int:
        """Degrees of freedom of the sum (Satterthwaite 1946, Biometrics Bull. 2:110)."""
        parts = self.own**2 / self.own_freedom + self.shared**2 / self.shared_freedom
        return min(max(round(self.whole**2 / parts), 3), MOST_FREEDOM)

    @property
    def loading(self) -> float:
        return round(sqrt(self.shared / self.whole) * LOADING_STEPS) / LOADING_STEPS


def _part(
    part: PlannedPart, spread: _Spread, mean: float, plan_weight: float, runs: int
) -> PartBelief:
    if part.estimate.high_s == 0 and not runs:
        return PartBelief(0.0, 0.0, 0.0, PLAN_FREEDOM)
    low, high = scales(part.estimate)
    freedom = PLAN_FREEDOM
    if runs:
        freedom = spread.freedom
        low, high = shared(sqrt(spread.whole), low, high, plan_weight)
    median_s = exp(mean - lean(low, high, freedom))
    return PartBelief(median_s, low, high, freedom, runs, plan_weight, spread.loading)


def _why(state: State, parts: Mapping[str, PartBelief], plan: Plan) -> Why:
    own = {each: parts[each] for each, part in plan.items() if part.own}
    whole_s = sum(part.median_s for part in own.values())
    weighed_s = sum(part.median_s * part.plan_weight for part in own.values())
    pace = state.pace
    rests_on = float(pace.weights @ (1 / pace.level_var))
    return Why(
        runs=state.runs,
        effective_runs=min(rests_on, float(state.runs)),
        slope_s=whole_s * float(pace.weights @ pace.slope),
        plan_share=weighed_s / whole_s if whole_s else 1.0,
    )
