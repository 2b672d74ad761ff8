"""What each part has of its own: its usual time, where that last changed, and its scatter.

For each part `LENGTHS` guesses are kept of when its present usual time began: at the latest run,
the one before, and so on, the last guess taking in all that are older. Each guess holds a mean
and how many runs it rests on; a run weighs the guesses by how well they foretold it (Adams and
MacKay 2007, arXiv:0710.3742, with known variance). A split may also be a mishap that tells
nothing, with a chance and a wider law of its own, or a mark that was lost, which may say anything:
so one odd run moves no level. The scatter of a part is that of all parts in proportion to the
plan's spread, as far as its own runs do not say otherwise (an inverse gamma law shared by all).
Times are logarithms throughout.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from server.domain.belief.assumptions import Assumptions

Array = NDArray[np.float64]

LENGTHS = 12


@dataclass(frozen=True, eq=False)
class Levels:
    """A row for each part; the first three with a column for each guess.

    `rests_on` counts runs, the plan as a part of one; `from_plan` how much of that is the plan.
    `noise` is the planned variance of a split; `squares` the sum of squared errors over it, from
    `counted` splits; `runs` how often the part was seen.
    """

    mean: Array
    rests_on: Array
    from_plan: Array
    chance: Array
    noise: Array
    squares: Array
    counted: Array
    runs: Array

    @property
    def plan_share(self) -> Array:
        """How much of each usual time is still the plan's, 0 to 1."""
        share: Array = (self.chance * self.from_plan / self.rests_on).sum(axis=1)
        return share

    def pooled(self, known: Assumptions) -> tuple[float, float]:
        """The scatter of all parts in units of what was planned, and from how many splits."""
        counted = float(self.counted.sum()) + known.pool_runs
        return (float(self.squares.sum()) + known.pool_runs) / counted, counted

    def now(self, known: Assumptions) -> "Now":
        """What the guesses come to."""
        pooled, _ = self.pooled(known)
        runs = known.part_runs
        variance = self.noise * (self.squares + runs * pooled) / (self.counted + runs)
        usual = _added(self.chance, self.mean)
        apart = self.mean - usual[:, None]
        spread = variance[:, None] / self.rests_on + apart * apart
        return Now(usual, variance, _added(self.chance, spread))


@dataclass(frozen=True, eq=False)
class Now:
    """Of each part: its usual logarithm, the variance of a split about it, and its doubt."""

    usual: Array
    variance: Array
    doubt: Array


def _added(chance: Array, values: Array) -> Array:
    """The sum over guesses, each with its chance."""
    added: Array = np.vecdot(chance, values)
    return added


def started(mean: Array, noise: Array, own_var: Array) -> Levels:
    """Parts before any run: planned logarithms, and variances of a split and of the plan."""
    shape = (mean.size, LENGTHS)
    first = np.zeros(shape)
    first[:, 0] = 1.0
    weight = np.broadcast_to((noise / own_var)[:, None], shape)
    none = np.zeros(mean.size)
    means = np.broadcast_to(mean[:, None], shape)
    return Levels(means, weight, first * weight, first, noise, none, none, none)


def joined(one: Levels, other: Levels) -> Levels:
    """The parts of both, one after the other."""
    return Levels(*(np.concatenate([vars(one)[name], vars(other)[name]]) for name in vars(one)))


def shifted(levels: Levels, steps: Array, known: Assumptions) -> Levels:
    """Levels moved by known steps of the logarithm, which may be missed by a part of them."""
    if not steps.any():
        return levels
    # Before a part was seen the plan alone speaks, and it says no less once it is changed.
    missed = (levels.runs > 0) * (known.plan_step * steps) ** 2 / levels.now(known).variance
    kept = 1 / (1 + levels.rests_on * missed[:, None])
    return replace(
        levels,
        mean=levels.mean + steps[:, None],
        rests_on=levels.rests_on * kept,
        from_plan=levels.from_plan * kept,
    )


@dataclass(frozen=True, eq=False)
class TakenSplits:
    """How a run's splits were taken: the levels after it, and the chance that each was a mishap."""

    levels: Levels
    mishap: Array


def read(levels: Levels, now: Now, times: Array, known: Assumptions) -> TakenSplits:
    """The levels after a run's `times`, the day's share taken off; NaN where nothing is known."""
    there = np.isfinite(times)
    usual, variance = now.usual, now.variance
    times = np.where(there, times, usual)
    apart = times[:, None] - levels.mean
    apart2 = apart * apart
    spread = variance[:, None] * (1 + 1 / levels.rests_on)
    plain, odd = _densities(apart2, spread, known)
    both = plain + odd
    usable = plain / both
    heard = _added(levels.chance, both)
    change = _change(levels, times, usual, variance, known)
    fresh = change.chance * change.density
    stay = (1 - change.chance) * heard
    new = fresh / (fresh + stay)
    after = levels.chance * both / heard[:, None] * (1 - new)[:, None]
    weight = after * usable
    weighed = weight.sum(axis=1)
    errors = _added(weight, apart2 / spread) * variance / levels.noise
    gain = usable / (levels.rests_on + usable)
    moved = Levels(
        mean=levels.mean + gain * apart,
        rests_on=levels.rests_on + usable,
        from_plan=levels.from_plan,
        chance=after,
        noise=levels.noise,
        squares=levels.squares + errors,
        counted=levels.counted + weighed,
        runs=levels.runs + 1,
    )
    told = _aged(moved, change.mean, change.rests_on, new)
    mishap = 1 - new - weighed
    if there.all():
        return TakenSplits(told, mishap)
    kept = {
        name: np.where(there if value.ndim == 1 else there[:, None], value, vars(levels)[name])
        for name, value in vars(told).items()
    }
    return TakenSplits(Levels(**kept), np.where(there, mishap, 0.0))


@dataclass(frozen=True, eq=False)
class _Change:
    """That a part's usual time begins with this run: how likely, and what it would be."""

    chance: Array
    density: Array
    mean: Array
    rests_on: Array


def _change(
    levels: Levels, times: Array, usual: Array, variance: Array, known: Assumptions
) -> _Change:
    error = times - usual
    sizes2 = np.array([[known.step**2], [known.leap**2]])
    shares = np.array([[1 - known.leap_share], [known.leap_share]])
    before = variance / sizes2
    plain, odd = _densities(error**2, variance * (1 + 1 / before), known)
    both = shares * (plain + odd)
    density = both.sum(axis=0)
    usable = plain / (plain + odd)
    by_size = both / density
    mean = usual + error * (by_size * usable / (before + usable)).sum(axis=0)
    rests_on = (by_size * (before + usable)).sum(axis=0)
    chance = np.where(levels.runs == 0, known.first_hazard, known.hazard)
    return _Change(chance, density, mean, rests_on)


def _densities(apart2: Array, spread: Array, known: Assumptions) -> tuple[Array, Array]:
    """How likely an error is as one of every run, and as a mishap; but for a common factor.

    Most mishaps cost some seconds; a mark that was forgotten, or pressed twice, says anything.
    """
    mishap, width2, lost = known.mishap, known.mishap_width**2, known.lost_marks
    anywhere: Array = np.exp(apart2 / (-2 * known.lost_width**2))
    anywhere *= mishap * lost / known.lost_width
    squared = apart2 / spread
    squared *= -0.5
    # Neither may vanish: the ratio of two zeros would be no number.
    np.maximum(squared, -600, out=squared)
    scale = np.sqrt(spread)
    plain: Array = np.exp(squared)
    plain *= (1 - mishap) / scale
    squared /= width2
    odd: Array = np.exp(squared)
    odd *= mishap * (1 - lost) / width2**0.5 / scale
    odd += anywhere
    return plain, odd


def _aged(levels: Levels, mean: Array, rests_on: Array, new: Array) -> Levels:
    """Each guess one run older, the new one in front, the two oldest made one."""
    oldest, last = levels.chance[:, -1], levels.chance[:, -2]
    whole = oldest + last
    part = np.divide(oldest, whole, out=np.zeros_like(whole), where=whole > 0)
    rest = 1 - part

    def made(front: Array | float, columns: Array) -> Array:
        older = np.empty_like(columns)
        older[:, 0] = front
        older[:, 1:-1] = columns[:, :-2]
        older[:, -1] = part * columns[:, -1] + rest * columns[:, -2]
        return older

    chance = made(new, levels.chance)
    chance[:, -1] = whole
    return Levels(
        mean=made(mean, levels.mean),
        rests_on=made(rests_on, levels.rests_on),
        from_plan=made(0.0, levels.from_plan),
        chance=chance,
        noise=levels.noise,
        squares=levels.squares,
        counted=levels.counted,
        runs=levels.runs,
    )
