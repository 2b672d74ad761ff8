"""What is believed after some runs, and how one more run is folded into it.

A run is taken apart into what it shares throughout, the day, and what each part has of its own:
the day is the weighted mean of how far the splits lie from their usual times, the far ones
counting less. The day follows `shared_pace`, the rest `levels`. A state after n runs and one more
run give the state after n + 1 runs, whatever n is.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from server.domain.belief import levels, shared_pace
from server.domain.belief.assumptions import Assumptions
from server.domain.belief.day import Day, day_of, day_of_total
from server.domain.belief.history import Plan, PlannedPart, Run, meant_s
from server.domain.belief.levels import Levels, Now
from server.domain.belief.mishaps import Mishaps, strikes
from server.domain.belief.shape import PLAN_FREEDOM, SHORTEST_S, lean, scales
from server.domain.belief.shared_pace import Array, PaceAhead, SharedPace
from server.domain.belief.total import TotalAhead
from server.domain.routine.estimate import around

Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class State:
    """What is believed after `runs` runs; rows of `levels` go by `ids`.

    `own` flags the parts that follow the day and add up to the whole; `planned_s` the latest
    plan of each. `past` holds what was believed of each run's time before it, None where the run
    has no time; `pace` stands after the latest run.
    """

    known: Assumptions
    ids: tuple[str, ...]
    own: Flags
    planned_s: Mapping[str, float]
    levels: Levels
    pace: SharedPace
    mishaps: Mishaps
    runs: int = 0
    beside_s: float = 0.0
    at_ms: int | None = None
    past: tuple[tuple[TotalAhead, float, str] | None, ...] = ()


def started(plan: Plan, known: Assumptions | None = None) -> State:
    """What is believed before any run."""
    known = known or Assumptions()
    spread2 = _spread2(plan, known)
    present = [each for each in plan if plan[each].own] or list(plan)
    whole_s = sum(plan[each].estimate.likely_s for each in present) or 1.0
    shared2 = sum(spread2[each] * plan[each].estimate.likely_s for each in present) / whole_s
    shared2 = shared2 or known.least_spread**2
    day = shared2 * (known.plan_day + known.plan_noise / max(len(present), 1))
    return State(
        known=known,
        ids=tuple(plan),
        own=_owned(plan),
        planned_s={each: part.estimate.likely_s for each, part in plan.items()},
        levels=_rows(plan, spread2, known),
        pace=shared_pace.started(known, known.plan_shared * shared2, day),
        mishaps=Mishaps(),
    )


def folded(state: State, run: Run) -> State:
    """What is believed after one more run; it comes after those that `state` has seen."""
    known = state.known
    state = planned_as(with_parts(state, _unknown(state, run)), run.planned_s)
    gap_days = shared_pace.days_between(state.at_ms, run.at_ms)
    pace = shared_pace.moved_on(state.pace, known, gap_days)
    before = shared_pace.ahead(pace)
    now = state.levels.now(known)
    whole = parts_of_whole(state, run.planned_s or run.durations_s or state.ids)
    forecast = total_ahead(state, now, before, whole)
    own = state.own
    clean, logs = _logs(state, run)
    spread = now.doubt + now.variance
    day = day_of(np.where(own, clean - now.usual, np.nan), spread, known)
    if day is None and whole.any():
        day = day_of_total(run.total_s, state.beside_s, forecast.log_s - before.level)
    shared = 0.0
    if day is not None:
        noise = float(spread @ own) / max(int(np.count_nonzero(own)), 1) ** 2
        single = before.scale2 - before.level_scale2
        certainty = single / (single + max(day.variance - noise, 0.0))
        pace = shared_pace.seen(pace, day.value, known, certainty)
        shared = before.level + _kept(before, day, known) * (day.value - before.level)
    followed = shared * own
    reading = levels.read(state.levels, now, clean - followed, known)
    expected_s = np.exp(now.usual + followed)
    return replace(
        state,
        levels=reading.levels,
        pace=pace,
        # How often something goes wrong is told by the slot: a part is none.
        mishaps=_noted(state, run, logs, expected_s, reading.mishap)
        if run.whole
        else state.mishaps,
        runs=state.runs + run.whole,
        beside_s=_beside(state, run, whole, logs, expected_s),
        at_ms=state.at_ms if run.at_ms is None else run.at_ms,
        past=(*state.past, None if run.total_s is None else (forecast, run.total_s, run.id)),
    )


def _kept(before: PaceAhead, day: Day, known: Assumptions) -> float:
    """How much of a day's distance from what was foretold is taken for the day's own.

    What chance of its splits may have added is taken off, but never in a run so far off that no
    chance explains it: a clock left running is not a new usual time of every part.
    """
    squared = (day.value - before.level) ** 2 / (before.scale2 + day.variance)
    by_chance = day.variance * min(known.far_run**2 / max(squared, 1e-12), 1.0)
    return before.scale2 / (before.scale2 + by_chance)


def planned_as(state: State, planned_s: Mapping[str, float]) -> State:
    """The state where the plan is now this: known parts move by what was meant."""
    if planned_s == state.planned_s:
        return state
    steps = np.zeros(len(state.ids))
    usual = None
    for row, each in enumerate(state.ids):
        now_s, then_s = planned_s.get(each), state.planned_s.get(each)
        if now_s is None or then_s is None or now_s == then_s:
            continue
        if usual is None:
            level = shared_pace.ahead(state.pace).level
            usual = np.exp(state.levels.now(state.known).usual + np.where(state.own, level, 0.0))
        usual_s = max(float(usual[row]), SHORTEST_S)
        seen = bool(state.levels.runs[row])
        # What was never done is believed as planned: in proportion, whatever the pace.
        ratio = max(now_s, SHORTEST_S) / max(then_s, SHORTEST_S)
        step_s = meant_s(then_s, now_s, usual_s) if seen else usual_s * (ratio - 1)
        steps[row] = np.log(max(usual_s + step_s, SHORTEST_S) / usual_s)
    return replace(
        state,
        planned_s={**state.planned_s, **planned_s},
        levels=levels.shifted(state.levels, steps, state.known),
    )


def with_parts(state: State, plan: Plan) -> State:
    """The state with the parts of `plan` that it does not know yet."""
    new = {each: part for each, part in plan.items() if each not in state.ids}
    if not new:
        return state
    return replace(
        state,
        ids=(*state.ids, *new),
        own=np.concatenate([state.own, _owned(new)]),
        planned_s={
            **state.planned_s,
            **{each: part.estimate.likely_s for each, part in new.items()},
        },
        levels=levels.joined(state.levels, _rows(new, _spread2(new, state.known), state.known)),
    )


def parts_of_whole(state: State, ids: Collection[str]) -> Flags:
    """Which parts add up to the whole of a plan that holds `ids`: those the presenter does."""
    chosen: Flags = state.own & np.array([each in ids for each in state.ids], dtype=np.bool_)
    return chosen


def total_ahead(state: State, now: Now, before: PaceAhead, chosen: Flags) -> TotalAhead:
    """What is believed of the next run's time: the sum of the parts that are chosen.

    The levels' doubt and the splits' scatter enter so far as the pace has not got them already:
    it is the mean of as many parts, each counting alike, the sum counts long ones more.
    """
    if not chosen.any():
        return TotalAhead(-np.inf, 0.0, PLAN_FREEDOM, 0.0)
    variance, doubt = now.variance[chosen], now.doubt[chosen]
    times = np.exp(now.usual[chosen])
    whole, count = times.sum(), times.size
    parts = times / whole
    own = ((parts**2 - 1 / count**2) * variance).sum() + ((parts - 1 / count) ** 2 * doubt).sum()
    rate, costs_s = strikes(state.mishaps, state.runs, state.known)
    return TotalAhead(
        log_s=float(np.log(whole) + before.level + 0.5 * (parts * variance).sum()),
        scale=float(np.sqrt(before.scale2 + max(own, 0.0))),
        freedom=before.freedom,
        rate=rate,
        costs_s=costs_s,
        beside_s=state.beside_s,
    )


def _owned(plan: Plan) -> Flags:
    return np.array([part.own for part in plan.values()], dtype=np.bool_)


def _unknown(state: State, run: Run) -> Plan:
    """Parts that the plan of a run's day had and `state` does not know: former segments."""
    return {
        each: PlannedPart(around(likely_s))
        for each, likely_s in run.planned_s.items()
        if each not in state.planned_s
    }


def _spread2(plan: Plan, known: Assumptions) -> dict[str, float]:
    """Id -> the variance on the log scale that the plan's low and high stand for."""
    found = {}
    for each, part in plan.items():
        low, high = scales(part.estimate)
        scale2 = (low**2 + high**2) / 2
        scale2 = min(max(scale2, known.least_spread**2), known.most_spread**2)
        found[each] = scale2 * PLAN_FREEDOM / (PLAN_FREEDOM - 2)
    return found


def _rows(plan: Plan, spreads2: Mapping[str, float], known: Assumptions) -> Levels:
    spread2 = np.array(list(spreads2.values()))
    means = []
    for part in plan.values():
        estimate = part.estimate if part.estimate.likely_s > 0 else around(SHORTEST_S)
        leaning = lean(*scales(estimate), PLAN_FREEDOM)
        means.append(np.log(max(estimate.likely_s, SHORTEST_S)) + leaning)
    return levels.started(
        np.array(means, dtype=np.float64), known.plan_noise * spread2, known.plan_own * spread2
    )


def _logs(state: State, run: Run) -> tuple[Array, Array]:
    """Logarithms of the splits, once without those in which an incident was noted; NaN: none."""
    nothing = float("nan")
    times = np.array([run.durations_s.get(each, nothing) for each in state.ids], dtype=np.float64)
    logs: Array = np.log(np.maximum(times, SHORTEST_S))
    if not run.incidents:
        return logs, logs
    struck = np.array([each in run.incidents for each in state.ids], dtype=np.bool_)
    return np.where(struck, np.nan, logs), logs


def _noted(state: State, run: Run, logs: Array, expected_s: Array, mishap: Array) -> Mishaps:
    unnoted = (mishap > state.known.mishap_sure) & state.own
    if not run.incidents and not unnoted.any():
        return state.mishaps
    over_s = np.where(np.isfinite(logs), np.exp(logs) - expected_s, 0.0)
    unnoted &= over_s > 0
    over = dict(zip(state.ids, over_s.tolist(), strict=True))
    odd = [state.ids[row] for row in np.flatnonzero(unnoted).tolist()]
    return state.mishaps.after(run, over, odd)


def _beside(state: State, run: Run, chosen: Flags, logs: Array, expected_s: Array) -> float:
    """What the whole takes beyond the sum of its parts, the latest runs counting most.

    Parts that no run has measured count with what is expected; where a mark is missing that other
    runs have, nothing is learnt.
    """
    measured = np.isfinite(logs)
    missing = chosen & ~measured & (state.levels.runs > 0)
    if run.total_s is None or not run.planned_s or missing.any() or not chosen.any():
        return state.beside_s
    parts_s = np.where(measured, np.exp(np.where(measured, logs, 0.0)), expected_s)
    beside_s = run.total_s - float(parts_s[chosen].sum())
    kept = state.known.beside_kept if state.runs else 0.0
    return kept * state.beside_s + (1 - kept) * beside_s
