"""Where a function crosses zero.

>>> round(falling_root(lambda x: 2.0 - x * x, 0.0, 2.0), 6)
1.414214
"""

from collections.abc import Callable


def falling_root(
    value_at: Callable[[float], float], low: float, high: float, within: float = 1e-9
) -> float:
    """Where a falling function crosses zero between `low` and `high`, by the Illinois method.

    The end that is nearer to zero where it does not cross between them.
    """
    above, below = value_at(low), value_at(high)
    if above <= 0 or below >= 0:
        return low if above <= 0 else high
    before, middle, side = high, low, 0
    while abs(middle - before) > within:
        before = middle
        middle = (low * below - high * above) / (below - above)
        value = value_at(middle)
        # An end that stays twice loses half its weight, so that the other end moves too.
        if value > 0:
            low, above, below, side = middle, value, below / (2 if side == 1 else 1), 1
        else:
            high, below, above, side = middle, value, above / (2 if side == -1 else 1), -1
    return middle
