"""True figures as a person says them: as short as they may be and still hold.

>>> sayable(9.277, 9.277, 0.5), sayable(55.2, 58.9, 0.5), sayable(13.12, 13.64, 0.5)
(9.3, 57.0, 13.4)
>>> sayable_amount(Amount(43.7, "ml"), 0.05).words, sayable_seconds(147, 10), sayable_seconds(28, 5)
('44 ml', 150, 28)
"""

from dataclasses import replace

from server.domain.base.amounts import Amount
from server.domain.glass.figure_text import carried_digits

MOST_DIGITS = 3
OF_SLACK = 0.5
"""A figure is said shorter where that takes no more than this share of what is allowed. Ours."""

_STEPS = {"oz": (0.25, 0.5, 1.0), "ml": (0.5, 1.0, 0.1), "g": (0.5, 1.0, 0.1), "cl": (0.25, 0.5)}
"""Unit -> the steps that people measure it in; what is whole ones of the first stays as it is."""

LEAST_ROUNDED_S = 60
_STEPS_S = (30, 10, 5)


def sayable(low: float, high: float, slack: float) -> float:
    """A number for a figure that lies between two: with the fewest decimals that it may have.

    It has no more of them than the figure carries.
    """
    middle = (low + high) / 2
    for digits in range(carried_digits(low, high, 1) + 1):
        value = round(middle, digits)
        if low <= value <= high or abs(value - middle) <= OF_SLACK * slack:
            return value
    # Where nothing may be off, it is said in more than it carries.
    for digits in range(MOST_DIGITS):
        value = round(middle, digits)
        if low - slack <= value <= high + slack:
            return value
    return round(middle, MOST_DIGITS)


def sayable_amount(amount: Amount, slack_ratio: float) -> Amount:
    """An amount in steps of its unit that people measure in, where they hold: 43.7 ml are 44."""
    slack = OF_SLACK * slack_ratio * amount.value
    first, *others = _STEPS.get(amount.unit, (amount.value,))
    if round(amount.value / first, 6).is_integer():
        return amount
    for step in (*others, first):
        value = round(round(amount.value / step) * step, 6)
        if value > 0 and abs(value - amount.value) <= slack:
            return replace(amount, value=value)
    return amount


def sayable_seconds(seconds: float, slack_s: float) -> int:
    """A time in s: from a minute on in halves of one, or in tens or fives, where those hold."""
    steps = _STEPS_S if seconds >= LEAST_ROUNDED_S else ()
    for step in steps:
        value = round(seconds / step) * step
        if abs(value - seconds) <= OF_SLACK * slack_s:
            return value
    return round(seconds)
