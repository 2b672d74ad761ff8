"""What to do about the risk: how much to cut and where, and when to start a process."""

from dataclasses import dataclass

import numpy as np

from server.domain.edits import part_of
from server.domain.risk.model import Model
from server.domain.risk.parts import Parts
from server.domain.risk.simulate import Simulation
from server.domain.risk.summing import quantile_s
from server.domain.risk.trials import Trials
from server.domain.risk.what_if import StartAfter
from server.domain.rules import RuleSheet

MOST_CUT = 0.5
"""Assumption, no source: nobody cuts more than half of a segment."""


@dataclass(frozen=True)
class Cut:
    """What cutting `seconds` from one segment brings.

    `chance` is the chance to finish inside the slot afterwards. `counts` is how much of each
    second cut arrives at the finish: 1 on the critical chain, less where a process is waited for.
    """

    segment_id: str
    name: str
    seconds: float
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


def cut_advice(model: Model, rules: RuleSheet, level: float = 0.95) -> CutAdvice:
    """What to cut for finishing inside the slot with the chance `level`."""
    trials = Trials(model, rules)
    now = trials.of(model.parts)
    needed_s = quantile_s(np.sort(now.finish_s), level) - rules.slot_s
    cuts = []
    if needed_s > 0:
        cuts = [_cut(trials, now, each.id, needed_s) for each in model.parts.segments]
    # Where several help alike, the longest gives its seconds most easily.
    medians = {each: belief.median_s for each, belief in model.beliefs.items()}
    cuts.sort(key=lambda cut: (-cut.chance, -cut.counts, -medians[cut.segment_id]))
    return CutAdvice(level, trials.chance_inside(now), needed_s, tuple(cuts))


def _cut(trials: Trials, now: Simulation, segment_id: str, needed_s: float) -> Cut:
    model = trials.model
    median_s = model.beliefs[segment_id].median_s
    seconds = min(needed_s, median_s * MOST_CUT)
    name = part_of(model.parts.segments, segment_id).name
    if seconds <= 0:
        return Cut(segment_id, name, 0.0, trials.chance_inside(now), 0.0)
    cut = trials.shortened(segment_id, 1 - seconds / median_s)
    gained_s = float(now.finish_s.mean() - cut.finish_s.mean())
    return Cut(segment_id, name, seconds, trials.chance_inside(cut), gained_s / seconds)


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


def _option(trials: Trials, process_id: str, segment_id: str) -> StartOption:
    model = trials.model
    parts: Parts = StartAfter(process_id, segment_id).made(model.parts)
    tried = trials.of(parts)
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
