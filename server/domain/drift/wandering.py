"""Where the total's wandering comes from, and which segments slow down together."""

import math
from dataclasses import dataclass

import numpy as np

from server.domain.base.student import t_quantile
from server.domain.drift.laws import Array, normal_quantile, two_sided_p
from server.domain.drift.level import ROBUST_SIGMA
from server.domain.drift.multiplicity import adjusted
from server.domain.drift.ranks import shared_ranks

SHARE_RUNS = 150
"""Latest complete runs that shares and links rest on."""

LEAST_RUNS = 5
CLIP_SIGMA = 4.0
"""A split further from its median than this many robust deviations counts as this many: a single
mishap of ten minutes would otherwise be the whole variance."""

FALSE_LINKS = 0.05
_TAIL = 0.005
DIFFERENCING = 1.5
"""Differences of independent runs carry as much of a correlation as 1/1.5 as many runs: successive
ones share a run (sum of squared autocorrelations, 1 + 2 * 0.25; Bartlett's formula)."""


@dataclass(frozen=True)
class VarianceShare:
    """A segment's part of the variance of the total.

    `share` is cov(split, total) / var(total); the shares of all segments sum to 1, and one that
    makes up for others is negative. `low` and `high` bound it for all segments at once: at 99 %
    where times are normal, at 95 % at least where their tails are heavy (simulated).
    """

    segment_id: str
    share: float
    low: float
    high: float


@dataclass(frozen=True)
class Link:
    """Two segments whose times rise and fall together from one run to the next.

    `correlation` is shrunk towards zero; `p` is adjusted for all pairs looked at.
    """

    first_id: str
    second_id: str
    correlation: float
    p: float


@dataclass(frozen=True)
class Together:
    """Shares and links of the latest complete runs; `n` says how many those are."""

    n: int
    shares: tuple[VarianceShare, ...]
    shrinkage: float
    """How much of every correlation was taken for noise: 0 none, 1 all."""
    links: tuple[Link, ...]
    """Pairs that move together beyond chance, strongest first."""
    groups: tuple[tuple[str, ...], ...]
    """Segments that slow down together: joined by positive links."""


def together(splits_s: Array, segment_ids: tuple[str, ...]) -> Together | None:
    """Shares and links of segments over runs that have all their marks.

    None with fewer than five such runs or fewer than two segments. Links are correlations of
    ranks of differences between successive runs, so that two segments that both get faster over
    the weeks are not taken for a pair.
    """
    complete = splits_s[np.isfinite(splits_s).all(axis=1)][-SHARE_RUNS:]
    if complete.shape[0] < LEAST_RUNS or complete.shape[1] < 2:
        return None
    raw, shrinkage = correlations(np.diff(complete, axis=0))
    links = _links(raw, raw * (1 - shrinkage), segment_ids, complete.shape[0] - 1)
    return Together(
        n=complete.shape[0],
        shares=variance_shares(complete, segment_ids),
        shrinkage=shrinkage,
        links=links,
        groups=_groups(links, segment_ids),
    )


def variance_shares(splits_s: Array, segment_ids: tuple[str, ...]) -> tuple[VarianceShare, ...]:
    """Each segment's share of the variance of their sum; none where the sum never varies.

    The share is the slope of the split on the total, hence its interval: Student's with n - 2
    degrees of freedom, divided among the segments by Bonferroni, with errors that need no equal
    spread (HC3; MacKinnon and White 1985, J. Econometrics 29:305), as long times wander more.
    """
    clipped = _clipped(splits_s)
    n, count = clipped.shape
    offsets = clipped - clipped.mean(axis=0)
    total = offsets.sum(axis=1)
    squares = float(total @ total)
    if squares <= 0:
        return ()
    shares = total @ offsets / squares
    left = offsets - np.outer(total, shares)
    leverage = (1 - 1 / n - total * total / squares)[:, None]
    errors = np.sqrt(((total[:, None] * left / leverage) ** 2).sum(axis=0)) / squares
    reach = t_quantile(1 - _TAIL / count, n - 2) * errors
    bounds = zip(segment_ids, shares, shares - reach, shares + reach, strict=True)
    return tuple(VarianceShare(name, float(a), float(b), float(c)) for name, a, b, c in bounds)


def _clipped(splits_s: Array) -> Array:
    middle = np.median(splits_s, axis=0)
    reach = CLIP_SIGMA * ROBUST_SIGMA * np.median(np.abs(splits_s - middle), axis=0)
    # Where half of the splits are equal there is no robust deviation to clip by.
    reach = np.where(reach > 0, reach, np.inf)
    return np.clip(splits_s, middle - reach, middle + reach)


def correlations(differences: Array) -> tuple[Array, float]:
    """Correlations of ranks, and how far to shrink them (Schaefer and Strimmer 2005, Stat. Appl.
    Genet. Mol. Biol. 4:32): the sum of their variances over the sum of their squares."""
    ranks = shared_ranks(differences.T).T
    offsets = ranks - ranks.mean(axis=0)
    deviations = offsets.std(axis=0, ddof=1)
    standard = offsets / np.where(deviations > 0, deviations, np.inf)
    n = standard.shape[0]
    raw = standard.T @ standard / (n - 1)
    mean_squares = (standard**2).T @ (standard**2) / n - (raw * (n - 1) / n) ** 2
    variances = mean_squares * n * n / (n - 1) ** 3
    apart = ~np.eye(raw.shape[0], dtype=bool)
    squares = float((raw[apart] ** 2).sum())
    if squares <= 0:
        return raw, 1.0
    return raw, float(np.clip(variances[apart].sum() / squares, 0, 1))


def _links(raw: Array, shrunk: Array, ids: tuple[str, ...], differences: int) -> tuple[Link, ...]:
    """Pairs beyond chance, by Fisher's z for ranks (Fieller, Hartley and Pearson 1957)."""
    free = differences / DIFFERENCING - 3
    if free <= 1:
        return ()
    first, second = np.triu_indices(len(ids), 1)
    z = np.arctanh(np.clip(raw[first, second], -0.999999, 0.999999)) * math.sqrt(free / 1.06)
    worst = normal_quantile(1 - FALSE_LINKS / 2)
    if not np.any(np.abs(z) > worst):
        return ()
    p_values = adjusted([two_sided_p(float(each)) for each in z])
    found = [
        Link(ids[i], ids[j], float(shrunk[i, j]), p)
        for i, j, p in zip(first, second, p_values, strict=True)
        if p <= FALSE_LINKS
    ]
    return tuple(sorted(found, key=lambda link: -abs(link.correlation)))


def _groups(links: tuple[Link, ...], ids: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    home = {each: each for each in ids}

    def root(each: str) -> str:
        while home[each] != each:
            each = home[each]
        return each

    for link in links:
        if link.correlation > 0:
            home[root(link.second_id)] = root(link.first_id)
    gathered: dict[str, list[str]] = {}
    for each in ids:
        gathered.setdefault(root(each), []).append(each)
    return tuple(tuple(group) for group in gathered.values() if len(group) > 1)
