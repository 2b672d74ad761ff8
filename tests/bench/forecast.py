"""How well the next run is foretold, beside simple rules, on simulated presenters.

    python -m tests.bench forecast           the seeds that figures are told of, 300 presenters each
    python -m tests.bench.forecast --tuning  the seeds that assumptions are tuned on

Beside the belief: (a) a local level model on the totals with one discount of 0.7 and unknown
variance (West and Harrison, Bayesian Forecasting and Dynamic Models, chapter 4), (b) the mean of
the last five with a t interval, (c) the median of all with a t interval of their spread about it,
(d) the same belief without movement; and the loss of one who knows the next run's true law. Loss
is the mean pinball loss at 0.1, 0.5 and 0.9, the Brier score that of the chance inside a slot.
"""

import argparse
import os
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy import stats

from server.domain.base.durations import DAY_MS
from server.domain.belief.assumptions import MOVEMENTS, Assumptions
from server.domain.belief.believe import Belief, belief_of, state_after
from server.domain.belief.history import PlannedPart, Run
from server.domain.belief.state import folded
from server.domain.routine.estimate import around
from tests.bench import look_power
from tests.bench.figures import Figure, table
from tests.bench.forecast_seeds import FINAL, TUNING
from tests.bench.presenters import KINDS, NAMES, Array, Presenters, presenters
from tests.domain.shorthand import believe

AFTER = (3, 6, 12, 20, 40)
PRESENTERS, QUICK_PRESENTERS = 300, 12
LEVELS = np.array([0.1, 0.5, 0.9, 0.025, 0.975])
STILL = replace(
    Assumptions(),
    movements=MOVEMENTS[:1],
    hazard=0.0,
    break_spread=0.0,
    break_toll=0.0,
    break_person=0.0,
)
RULES = ("ours", "a", "b", "c", "d", "oracle")


@dataclass(frozen=True)
class Score:
    """A value for each presenter: loss in s, Brier score, and whether intervals held the run."""

    loss_s: Array
    brier: Array
    in_80: Array
    in_95: Array


def history(of: Presenters, row: int) -> tuple[list[Run], dict[str, PlannedPart]]:
    """The runs and the plan of one presenter."""
    planned = {f"s{n}": float(each) for n, each in enumerate(of.plan_s[row])}
    runs = [
        Run(
            dict(zip(planned, splits.tolist(), strict=True)),
            planned_s=planned,
            total_s=float(splits.sum()),
            at_ms=int(day * DAY_MS),
        )
        for splits, day in zip(of.splits_s[row], of.days[row], strict=False)
    ]
    return runs, {each: PlannedPart(around(likely_s)) for each, likely_s in planned.items()}


def scored(of: Presenters, quantiles: Array, chances: Array) -> Score:
    """The scores of forecasts: a row of quantiles at `LEVELS` and a chance for each presenter."""
    over = of.next_s[:, None] - quantiles[:, :3]
    loss = np.maximum(LEVELS[:3] * over, (LEVELS[:3] - 1) * over).mean(axis=1)
    within = [
        (of.next_s >= quantiles[:, low]) & (of.next_s <= quantiles[:, high])
        for low, high in ((0, 2), (3, 4))
    ]
    return Score(loss, (chances - (of.next_s <= of.slot_s)) ** 2, *within)


def believed(of: Presenters, known: Assumptions | None) -> Score:
    quantiles, chances = [], []
    for row in range(len(of.next_s)):
        runs, plan = history(of, row)
        total = believe(runs, plan, known, now_ms=int(of.days[row, -1] * DAY_MS)).total
        quantiles.append(total.quantiles_s(LEVELS.tolist()))
        chances.append(total.chance_by(float(of.slot_s[row])))
    return scored(of, np.array(quantiles), np.array(chances))


def student(of: Presenters, middle: Array, scale: Array, freedom: int) -> Score:
    quantiles = middle[:, None] + scale[:, None] * stats.t.ppf(LEVELS, freedom)
    return scored(of, quantiles, stats.t.cdf((of.slot_s - middle) / scale, freedom))


def discounted(of: Presenters, discount: float = 0.7) -> Score:
    """The local level model of one discount, from a reference prior."""
    totals = of.totals_s
    level, spread, squares = totals[:, 0], 1.0, np.zeros(len(totals))
    for value in totals[:, 1:].T:
        ahead = spread / discount
        squares = squares + (value - level) ** 2 / (ahead + 1)
        spread = ahead / (ahead + 1)
        level = level + spread * (value - level)
    freedom = totals.shape[1] - 1
    return student(of, level, np.sqrt(squares / freedom * (spread / discount + 1)), freedom)


def last_five(of: Presenters) -> Score:
    latest = of.totals_s[:, -5:]
    n = latest.shape[1]
    scale = latest.std(axis=1, ddof=1) * (1 + 1 / n) ** 0.5
    return student(of, latest.mean(axis=1), scale, n - 1)


def median_of_all(of: Presenters) -> Score:
    totals = of.totals_s
    n = totals.shape[1]
    middle = np.median(totals, axis=1)
    squares = ((totals - middle[:, None]) ** 2).sum(axis=1) / (n - 1)
    # A median of n normal values has pi / 2 times the variance of their mean.
    return student(of, middle, np.sqrt(squares * (1 + np.pi / 2 / n)), n - 1)


def oracle(of: Presenters) -> Score:
    """One who knows the true mean, and how far runs scatter about it."""
    apart = of.next_s - of.mean_s
    quantiles = of.mean_s[:, None] + np.quantile(apart, LEVELS)
    chances = (apart[None] <= (of.slot_s - of.mean_s)[:, None]).mean(axis=1)
    return scored(of, quantiles, chances)


def one(kind: str, after: int, count: int, seed: int) -> tuple[Score, ...]:
    """The scores of all rules, in the order of `RULES`."""
    of = presenters(kind, after, count, seed)
    rules = (discounted(of), last_five(of), median_of_all(of))
    return believed(of, None), *rules, believed(of, STILL), oracle(of)


def measured(count: int, seed: int) -> dict[tuple[str, int], tuple[Score, ...]]:
    """(kind, number of runs) -> the scores of all rules."""
    cases = [(kind, after) for kind in KINDS for after in AFTER]
    return {case: one(*case, count, seed) for case in cases}


def figures(found: dict[tuple[str, int], tuple[Score, ...]]) -> Iterator[Figure]:
    """The figures of each kind, beside the best of the simple rules, and of all."""
    losses = {case: [float(s.loss_s.mean()) for s in scores] for case, scores in found.items()}
    briers = {case: [float(s.brier.mean()) for s in scores[:5]] for case, scores in found.items()}
    relative = {case: np.array(row) / row[1] for case, row in losses.items()}
    for kind in KINDS:
        rows = np.mean([relative[kind, after] for after in AFTER], axis=0)
        best = int(np.argmin(rows[1:5])) + 1
        yield Figure(f"{NAMES[kind]}: loss beside the best of (a) to (d), here ({RULES[best]})",
                     float(rows[0]), "of (a)", float(rows[best]), "at most 1.02")  # fmt: skip
        yield Figure(f"{kind}: what an oracle reaches", float(rows[5]), "of (a)")
        for after in AFTER:
            mine = relative[kind, after]
            yield Figure(f"{kind}, {after} runs: loss beside the best of (a) to (d)",
                         float(mine[0]), "of (a)", float(mine[1:5].min()))  # fmt: skip
        for after in AFTER:
            held = found[kind, after][0].in_80.mean()
            aim = "at least 0.72" if after >= 6 else ""
            yield Figure(f"{kind}, {after} runs: held by 80 %", float(held), "", aim=aim)
    yield Figure("mean loss", float(np.mean([row[0] for row in relative.values()])), "of (a)",
                 aim="at most 0.95")  # fmt: skip
    for place, rule in enumerate(RULES[2:5], 2):
        mean = float(np.mean([row[place] for row in relative.values()]))
        yield Figure(f"mean loss of ({rule})", mean, "of (a)")
    score = np.mean([row[0] / row[1] for row in briers.values()])
    yield Figure("mean Brier score", float(score), "of (a)", aim="under 1")
    for level in ("in_80", "in_95"):
        held = np.concatenate([getattr(scores[0], level) for scores in found.values()])
        share = int(level[3:]) / 100
        error = (share * (1 - share) / held.size) ** 0.5
        yield Figure(f"held by {share:.0%}, all together (error {error:.4f})", float(held.mean()),
                     "", aim=f"{share} within two errors")  # fmt: skip


def timings() -> Iterator[Figure]:
    """How long the belief takes: processor time, the best of several."""
    random = np.random.default_rng(5)
    for segments, runs in ((60, 20), (40, 1000)):
        planned = {f"s{n}": 10.0 + n % 4 for n in range(segments)}
        plan = {each: PlannedPart(around(likely_s)) for each, likely_s in planned.items()}
        past = [
            Run({each: s * float(np.exp(0.06 * random.normal())) for each, s in planned.items()},
                planned, total_s=11.5 * segments, at_ms=run * DAY_MS)
            for run in range(runs)
        ]  # fmt: skip
        state = state_after(past[:-1], plan)
        if runs == 20:
            yield Figure("a belief from 20 runs of 60 activities",
                         _best_ms(lambda past=past, plan=plan: believe(past, plan)), "ms",
                         aim="under 10 ms")  # fmt: skip
        yield Figure(
            f"one run folded into {runs:,} of {segments} activities, and read",
            _best_ms(lambda s=state, last=past[-1], plan=plan: _updated(s, last, plan)),
            "ms", aim="under 10 ms")  # fmt: skip


def _updated(state, run, plan) -> Belief:
    return belief_of(folded(state, run), plan)


def _best_ms(work, rounds: int = 15) -> float:
    taken = []
    for _ in range(rounds):
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return 1000 * min(taken)


def measure(quick: bool) -> list[Figure]:
    """The figures for `python -m tests.bench`."""
    found = measured(QUICK_PRESENTERS if quick else PRESENTERS, FINAL)
    return [*figures(found), *look_power.figures(quick, FINAL), *timings()]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--tuning", type=int, default=60, help="presenters of each kind")
    found = measured(parser.parse_args().tuning, TUNING)
    print(table(figures(found)))


if __name__ == "__main__":
    main()
