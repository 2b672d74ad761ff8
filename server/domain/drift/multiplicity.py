"""Many looks at once: what may still be said when forty segments are tested.

>>> [round(p, 4) for p in adjusted([0.01, 0.02, 0.03, 0.5])]
[0.04, 0.04, 0.04, 0.5]
"""

from collections.abc import Sequence

import numpy as np


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
