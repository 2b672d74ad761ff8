"""What to do about the risk: how much to cut and where, and when to start a process."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil, floor

import numpy as np

from server.domain.risk.model import Model
from server.domain.risk.outcome import Forecast
from server.domain.risk.parts import Parts
from server.domain.risk.simulate import simulate
from server.domain.risk.summing import inside_slot, quantile_s
from server.domain.risk.trials import Trials
from server.domain.routine.edits import part_of, put
from server.domain.routine.rules import RuleSheet

MOST_CUT = 0.5
"""Assumption, no source: nobody cuts more than half of a segment."""


MOST_CUTS = 8
"""Cuts that are worked out: those of the segments that most hold the finish."""

Shorten = Callable[[str, float], Model]
"""Gives the model with a segment (id) so many seconds shorter, as it is once that is saved."""


@dataclass(frozen=True)
class Cut:
    """What cutting `seconds` from one segment brings.

    `chance` is the chance to finish inside the slot afterwards. `counts` is how much of each
    second cut arrives at the finish: 1 on the critical chain, less where a process is waited for.
    """

    segment_id: str
    name: str
    seconds: int
    chance: float
    counts: float


@dataclass(frozen=True)
class CutAdvice:
    """How many seconds of the finish must go to be inside the slot at `level`, and where.

    `needed_s` is negative where there is time left; it is enough, and a little less may do, since
    what is shorter also varies less. `cuts` start with the one that helps most.
    """

    level: float
    chance_now: float
    needed_s: float
    cuts: tuple[Cut, ...]


@dataclass(frozen=True)
class StartOption:
    """A process started at the end of another segment, and what that is worth.

    `earlier_s` is by how much the start moves in the plan; `waits_s` how long the product then
    stands before use, in the middle of all slots where it is used at all.
    """

    after_id: str
    name: str
    earlier_s: float
    chance_ready: float
    chance_inside: float
    finish_s: float
    waits_s: float | None


def cut_advice(
    model: Model,
    rules: RuleSheet,
    level: float,
    shorten: Shorten,
    now: Forecast,
    by_s: float | None = None,
) -> CutAdvice:
    """What to cut for finishing inside the slot with the chance `level`; `now` is the forecast.

    Each cut is as long as is needed for that; with `by_s` so many seconds, whatever is needed.

    Each cut is judged by simulating as many slots of the model that `shorten` gives, whole seconds
    at a time: what is told here is what trying the same change shows.
    """
    needed_s = quantile_s(np.asarray(now.finishes_s), level) - rules.slot_s
    each_s = needed_s if by_s is None else by_s
    if each_s <= 0:
        return CutAdvice(level, now.chance_inside, needed_s, ())
    on_chain = {each.id: each.on_chain for each in now.segments}
    worth_s = {
        each.id: on_chain[each.id] * _seconds(model, each.id, each_s)
        for each in model.parts.segments
    }
    chosen = sorted(worth_s, key=lambda each: -worth_s[each])[:MOST_CUTS]
    names = {each.id: each.name for each in model.parts.segments}
    trials = (Cut(each, names[each], _seconds(model, each, each_s), 0.0, 0.0) for each in chosen)
    cuts = [
        _cut(trial, shorten(trial.segment_id, trial.seconds), rules, now)
        for trial in trials
        if trial.seconds > 0
    ]
    cuts.sort(key=lambda cut: (-cut.chance, -cut.counts, -cut.seconds))
    return CutAdvice(level, now.chance_inside, needed_s, tuple(cuts))


def _seconds(model: Model, segment_id: str, needed_s: float) -> int:
    """Whole seconds to cut from a segment: as many as needed, at most half of it."""
    takes_s = min(model.beliefs[segment_id].median_s, model.parts.likely_s[segment_id])
    return min(ceil(needed_s), floor(round(takes_s * MOST_CUT, 3)))


def _cut(trial: Cut, shorter: Model, rules: RuleSheet, now: Forecast) -> Cut:
    then = simulate(shorter, now.slots, with_chains=False)
    gained_s = now.mean_s - float(then.finish_s.mean())
    chance = float(inside_slot(then.finish_s, rules).mean())
    return replace(trial, chance=chance, counts=gained_s / trial.seconds)


def start_options(model: Model, rules: RuleSheet, process_id: str) -> tuple[StartOption, ...]:
    """A process started after each segment up to the one it starts after now, latest first.

    The first option is the plan as it stands. Raises NotFound for an unknown process.
    """
    process = part_of(model.parts.processes, process_id)
    ids = [segment.id for segment in model.parts.segments]
    if process.after_id is None:
        return ()
    trials = Trials(model, rules)
    earlier = ids[: ids.index(process.after_id) + 1]
    return tuple(_option(trials, process_id, each) for each in reversed(earlier))


def _started_after(parts: Parts, process_id: str, segment_id: str) -> Parts:
    process = part_of(parts.processes, process_id)
    return replace(parts, processes=put(parts.processes, replace(process, after_id=segment_id)))


def _option(trials: Trials, process_id: str, segment_id: str) -> StartOption:
    model = trials.model
    tried = trials.of(_started_after(model.parts, process_id, segment_id))
    need = next((each for each in tried.needs if each.process_id == process_id), None)
    waits_s = np.array([]) if need is None else need.waits_s[~np.isnan(need.waits_s)]
    ends = model.expected.times
    now_s = ends[part_of(model.parts.processes, process_id).after_id or segment_id].end_s
    return StartOption(
        after_id=segment_id,
        name=part_of(model.parts.segments, segment_id).name,
        earlier_s=now_s - ends[segment_id].end_s,
        chance_ready=1.0 if need is None else float(need.in_time.mean()),
        chance_inside=trials.chance_inside(tried),
        finish_s=float(tried.finish_s.mean()),
        waits_s=float(np.median(waits_s)) if len(waits_s) else None,
    )
