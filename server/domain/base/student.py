"""Student's t, which the standard library lacks.

SciPy would bring it at half a second of start and sixty megabytes; it judges it in the tests.

>>> round(t_quantile(0.975, 10), 4), round(t_cdf(2.2281, 10), 4)
(2.2281, 0.975)
"""

import math
from functools import lru_cache

_HALVINGS, _NEWTON_STEPS = 8, 4


@lru_cache(maxsize=4096)
def t_cdf(t: float, df: float) -> float:
    """The distribution function of Student's t with `df` degrees of freedom.

    Through the regularised incomplete beta function (Abramowitz and Stegun 26.7.1), from the
    middle or from the tail, whichever keeps the digits.
    """
    square = t * t
    if square < df:
        half = 0.5 * _beta_fraction(0.5, df / 2, square / (df + square))
        return 0.5 + math.copysign(half, t)
    tail = 0.5 * _beta_fraction(df / 2, 0.5, df / (df + square))
    return 1 - tail if t > 0 else tail


@lru_cache(maxsize=4096)
def t_quantile(probability: float, df: float) -> float:
    """The quantile of Student's t; `probability` lies strictly between 0 and 1.

    Bisected until Newton's steps are safe.
    """
    if probability <= 0.5:
        return -t_quantile(1 - probability, df) if probability < 0.5 else 0.0
    low, high = 0.0, 1.0
    while t_cdf(high, df) < probability:
        low, high = high, high * 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if t_cdf(middle, df) < probability else (low, middle)
    t = (low + high) / 2
    log_scale = math.lgamma((df + 1) / 2) - math.lgamma(df / 2) - 0.5 * math.log(df * math.pi)
    for _ in range(_NEWTON_STEPS):
        density = math.exp(log_scale - (df + 1) / 2 * math.log1p(t * t / df))
        t -= (t_cdf(t, df) - probability) / density
    return t


def _beta_fraction(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function by its continued fraction (DLMF 8.17.22)."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_fraction(b, a, 1 - x)
    log_front = a * math.log(x) + b * math.log1p(-x) - math.log(a)
    log_front += math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    return math.exp(log_front) * _continued(a, b, x)


def _continued(a: float, b: float, x: float) -> float:
    """The continued fraction itself, by Lentz's method."""
    tiny = 1e-300
    c, d = 1.0, 1 / _not_zero(1 - (a + b) * x / (a + 1), tiny)
    value = d
    for m in range(1, 500):  # pragma: no branch (it has converged long before)
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _not_zero(1 + term * d, tiny)
            c = _not_zero(1 + term / c, tiny)
            value *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return value


def _not_zero(value: float, tiny: float) -> float:
    return value if abs(value) > tiny else tiny
