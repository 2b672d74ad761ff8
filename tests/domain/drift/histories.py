"""Simulated practice: times whose law and drift are known, so that what is said can be judged."""

import numpy as np

from server.domain.base.durations import HOUR_MS
from server.domain.belief.practice import PastRun, practice_of
from server.domain.drift.analysis import analyse
from server.domain.drift.run_table import run_table
from server.domain.risk.forecast import forecast
from server.domain.risk.model import model_of
from server.domain.risk.next_run import NextRun
from server.domain.risk.parts import parts_of
from tests.factories import NOW_MS, RULES, make_line, make_routine, make_segment

LAWS = {
    "normal": lambda random, shape: random.normal(size=shape),
    "Laplace": lambda random, shape: random.laplace(size=shape),
    "Student": lambda random, shape: random.standard_t(3, size=shape),
    "contaminated": lambda random, shape: (
        random.normal(size=shape) * np.where(random.random(shape) < 0.1, 5, 1)
    ),
}
"""Laws of scatter, from light tails to heavy: the last has five times the spread once in ten."""


def make_lines(splits_s, *, hours_apart=9):
    """Finished runs with these splits, a row per run; NaN is a missing mark."""
    segments = [f"s{number}" for number in range(splits_s.shape[1])]
    lines = []
    for run, row in enumerate(splits_s):
        kept = {key: float(split) for key, split in zip(segments, row, strict=True)}
        # A segment whose mark was missed took its time all the same.
        total_s = float(np.nansum(row) + 50 * np.isnan(row).sum())
        marked = {key: split for key, split in kept.items() if split == split}
        lines.append(
            make_line(
                total_s,
                marked,
                id=f"r{run}",
                started_ms=NOW_MS + run * hours_apart * HOUR_MS,
                created_ms=NOW_MS + run * hours_apart * HOUR_MS,
            )
        )
    return lines


def make_plan(count, planned_s=50.0):
    return make_routine(
        segments=tuple(make_segment(f"s{number}", planned_s) for number in range(count))
    )


def make_table(splits_s, *, planned_s=50.0, **more):
    splits_s = np.asarray(splits_s, dtype=float)
    return run_table(make_plan(splits_s.shape[1], planned_s), make_lines(splits_s, **more), {})


def make_drift(splits_s, *, planned_s=50.0, pairs=(), rules=RULES, foretold=False, **more):
    """The analysis; where it is `foretold` with the next run as the pages tell it."""
    table = make_table(splits_s, planned_s=planned_s, **more)
    ahead = None
    if foretold and table.runs:
        plan = make_plan(np.shape(splits_s)[1], planned_s)
        ahead = make_ahead(plan, make_lines(np.asarray(splits_s, dtype=float), **more), rules)
    return analyse(table, rules, pairs, ahead)


def make_ahead(plan, lines, rules=RULES, slots=1280):
    """The next run after these lines, over few slots."""
    planned_s = {each.id: each.duration.likely_s for each in plan.segments}
    past = [PastRun(line, planned_s) for line in lines]
    model = model_of(parts_of(plan), practice_of(plan, past))
    return NextRun(forecast(model, rules, slots), model.told.why, model.told.past)
