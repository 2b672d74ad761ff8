"""Round moments along an axis: few enough to be read, however long the axis is."""

from math import ceil, floor

STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 28_800, 86_400)
"""Steps that a clock's reader counts in; beyond the last one, whole multiples of it."""


def round_moments(first_s: float, last_s: float, most: int, least_step_s: int = 1) -> list[int]:
    """The round moments from `first_s` to `last_s`, at most `most` + 1 of them, in seconds.

    >>> round_moments(0, 630, 8)
    [0, 120, 240, 360, 480, 600]
    >>> len(round_moments(0, 1e15, 8)) <= 9
    True
    """
    span_s = last_s - first_s
    fitting = (each for each in STEPS_S if each >= least_step_s and span_s <= each * most)
    step_s = next(fitting, STEPS_S[-1] * max(ceil(span_s / most / STEPS_S[-1]), 1))
    return [step_s * n for n in range(ceil(first_s / step_s), floor(last_s / step_s) + 1)]
