"""Many looks at once: what may still be said when forty segments are tested.

>>> [round(p, 4) for p in adjusted([0.01, 0.02, 0.03, 0.5])]
[0.04, 0.04, 0.04, 0.5]
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from server.domain.base.crossing import falling_root
from server.domain.drift.laws import normal_chance

_FURTHEST = 12.0
"""No bound lies further from its effect, in standard errors, than this."""


def adjusted(p_values: Sequence[float]) -> list[float]:
    """Each p-value as the false discovery rate at which it would just be said.

    Benjamini and Hochberg 1995, J. R. Stat. Soc. B 57:289.
    """
    p = np.asarray(p_values, dtype=np.float64)
    order = np.argsort(p)[::-1]
    scaled = p[order] * p.size / np.arange(p.size, 0, -1)
    result = np.empty(p.size)
    result[order] = np.minimum(1.0, np.minimum.accumulate(scaled))
    return [float(each) for each in result]


def selected_level(selected: int, tested: int, level: float = 0.95) -> float:
    """The level at which each of `selected` intervals out of `tested` has to be computed.

    Of the intervals that are then shown, at least `level` hold the truth, although they were
    chosen by their data (Benjamini and Yekutieli 2005, J. Am. Stat. Assoc. 100:71).
    """
    return 1 - (1 - level) * selected / tested


@lru_cache(maxsize=4096)
def chosen_bounds(z: float, cutoff: float, level: float = 0.95) -> tuple[float, float]:
    """The bounds of a standardised effect that is shown only because `z` lies beyond `cutoff`.

    What stands out is overstated on average. Given that |Z| > cutoff, Z follows a normal law with
    its middle cut out, and inverting that law gives an interval that holds the truth as often as
    it says among all that are shown (Weinstein, Fithian and Benjamini 2013, J. Am. Stat. Assoc.
    108:165). Far beyond the cutoff it is z - 1.96 to z + 1.96; close to it, it reaches across 0.
    """
    if z < 0:
        low, high = chosen_bounds(-z, cutoff, level)
        return -high, -low
    tail = (1 - level) / 2
    ends = z - _FURTHEST, z + _FURTHEST
    return (
        falling_root(lambda effect: tail - _beyond(z, effect, cutoff), *ends),
        falling_root(lambda effect: 1 - tail - _beyond(z, effect, cutoff), *ends),
    )


def _beyond(z: float, effect: float, cutoff: float) -> float:
    """The chance of a value above `z` among those further than `cutoff` from zero."""
    above = normal_chance(effect - max(z, cutoff))
    shown = normal_chance(effect - cutoff) + normal_chance(-effect - cutoff)
    return above / shown
