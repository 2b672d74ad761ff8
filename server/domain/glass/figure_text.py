"""Figures as people type and read them: a value, a range, or a value with its range.

A computed number is read with no decimals that its range does not carry: `carried_digits` is asked
wherever one is written.

>>> parse_figure("38–42")
Figure(value=40.0, low=38.0, high=42.0, source='')
>>> format_figure(Figure(4.6, 3.9, 5.3)), format_figure(Figure(40.0))
('4.6 (3.9–5.3)', '40')
"""

import math
import re

from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import PATTERN, read_number, write_number
from server.domain.glass.figures import Estimate, Figure

_NUMBER = rf"[-−]?{PATTERN}"
_FIGURE = re.compile(
    rf"(?P<value>{_NUMBER})(?:\s*\(\s*(?P<low>{_NUMBER})\s*(?:[-–]|to)\s*(?P<high>{_NUMBER})\s*\))?"
)
_RANGE = re.compile(rf"(?P<low>{_NUMBER})\s*(?:[-–]|to)\s*(?P<high>{_NUMBER})")


def parse_figure(text: str, field: str = "value", source: str = "") -> Figure:
    """The figure meant by "40", "38–42" (the middle counts) or "40 (38–42)".

    Raises InvalidInput on `field` for anything else.
    """
    typed = text.strip().removesuffix("%").strip()
    whole = _FIGURE.fullmatch(typed)
    if whole is not None:
        parts = {name: read_number(part, field) for name, part in whole.groupdict().items() if part}
        return _on_field(Figure, field, **parts, source=source)
    ends = _RANGE.fullmatch(typed)
    if ends is None:
        raise InvalidInput.of(field, "Give a number, 40, or a range, 38–42.")
    low, high = read_number(ends["low"], field), read_number(ends["high"], field)
    return _on_field(Figure, field, value=(low + high) / 2, low=low, high=high, source=source)


def format_figure(figure: Figure) -> str:
    """A figure as it can be typed again."""
    if not figure.is_range:
        return write_number(figure.value)
    return (
        f"{write_number(figure.value)} ({write_number(figure.least)}–{write_number(figure.most)})"
    )


def told_figure(figure: Figure, digits: int = 4) -> str:
    """A value with its range, to the four digits (or so many) that anyone reads.

    >>> told_figure(Figure(-5.0, -18.0, 0.0)), told_figure(Figure(0.0476341, 0.02, 0.0952681), 2)
    ('−5 (−18 to 0)', '0.048 (0.02–0.095)')
    """
    ends = (figure.value, figure.least, figure.most)
    likely, low, high = (f"{each:.{digits}g}".replace("-", "−") for each in ends)
    # Beside minus signs a dash reads as one more.
    dash = " to " if figure.least < 0 else "–"
    return f"{likely} ({low}{dash}{high})" if figure.is_range else likely


STEPS_CARRIED = 10
"""A range may be so many steps of the last place wide; wider, and that place says nothing. With ten
the ends of a range still differ once the place is dropped."""


FEWEST_DIGITS = -2
"""Whole numbers are rounded to tens or hundreds where their range carries no more, but keep two
digits: 347 (320-380) is 350, while 62 (55-67) would be a bare 60."""


def carried_digits(low: float, high: float, most: int, fewest: int = 0) -> int:
    """How many decimals, `most` to `fewest`, a number known from `low` to `high` carries.

    -1 stands for tens, -2 for hundreds.

    >>> carried_digits(17.6, 18.4, 1), carried_digits(17.2, 18.4, 1), carried_digits(13.0, 13.0, 1)
    (1, 0, 1)
    >>> carried_digits(320, 380, 0, FEWEST_DIGITS), carried_digits(55, 67, 0, FEWEST_DIGITS)
    (-1, 0)
    """
    digits = most
    # A hair more, so that 4.3 to 5.3 counts as the ten tenths that it is.
    while digits > fewest and (high - low) * math.pow(10.0, digits) > STEPS_CARRIED + 1e-6:
        if digits <= 0 and not math.pow(10.0, 2 - digits) <= (low + high) / 2 < math.inf:
            break
        digits -= 1
    return digits


def carried_figure(figure: Figure) -> str:
    """A value that was worked out, with its range, in the digits that the range carries.

    >>> carried_figure(Figure(527.8, 248.4, 724.4)), carried_figure(Figure(57.143, 56.943, 57.343))
    ('530 (250–720)', '57.1 (56.9–57.3)')
    """
    digits = carried_digits(figure.least, figure.most, 2, FEWEST_DIGITS)
    ends = (figure.value, figure.least, figure.most)
    likely, low, high = (in_digits(each, digits) for each in ends)
    return f"{likely} ({low}–{high})" if figure.is_range else likely


def in_digits(value: float, digits: int) -> str:
    """A number with so many decimals; below 0 in whole tens or hundreds.

    >>> in_digits(14.27, 1), in_digits(347.0, -1)
    ('14.3', '350')
    """
    return f"{round(value, digits) + 0.0:.{max(digits, 0)}f}"


def told_number(estimate: Estimate, digits: int) -> float:
    """The number to write, with so many decimals, beside what bounds it ("at least").

    A bound has to hold: the least of a range where more is uncounted, rounded down; the most of it
    where what is uncounted makes it smaller, rounded up.

    >>> told_number(Estimate(14.27, 14.16, 14.38, lacks=("house liqueur",)), 1)
    14.1
    """
    step = math.pow(10.0, digits)
    # Binary dust aside: 14.2 stays 14.2.
    if estimate.bound == "at least":
        return math.floor(round(estimate.low * step, 6)) / step
    if estimate.bound == "at most" and math.isfinite(estimate.high):
        return math.ceil(round(estimate.high * step, 6)) / step
    return estimate.high if estimate.bound == "at most" else estimate.value


BOUND_IS_WHOLE_FROM = 100.0
"""From here on a bound is told without decimals (ours: a thousandth of it helps nobody)."""


def told_digits(estimate: Estimate, most: int) -> int:
    """How many decimals, at most `most`, a computed number carries.

    A bound carries them all below a hundred, and none from there on.

    Below 0 it is tens or hundreds, which `in_digits` writes.

    >>> told_digits(Estimate(9.0, 5.0, 12.0), 1), told_digits(Estimate(9.0, 5.0, 12.0, ("x",)), 1)
    (0, 1)
    >>> told_digits(Estimate(940.2, 318.4, 971.9, ("x",), is_most=True), 1)
    0
    """
    is_bound = estimate.bound in ("at least", "at most")
    if is_bound:
        return min(most, 0) if BOUND_IS_WHOLE_FROM <= told_number(estimate, 0) < math.inf else most
    return carried_digits(estimate.low, estimate.high, most, FEWEST_DIGITS)


def in_its_digits(estimate: Estimate, most: int) -> str:
    """A computed number with the decimals it carries, at most `most`, as `told_number` tells it.

    >>> in_its_digits(Estimate(347.0, 320.0, 380.0), 0), in_its_digits(Estimate(9.2, 9.0, 9.4), 1)
    ('350', '9.2')
    """
    digits = told_digits(estimate, most)
    return in_digits(told_number(estimate, digits), digits)


def says_nothing(estimate: Estimate, digits: int, is_amount: bool = True) -> bool:
    """Whether a bound is none as it is told: none of it was counted, or no end is known.

    What is no amount, as a temperature is not, says something at 0 too.

    >>> says_nothing(Estimate(0.0, 0.0, 0.0, lacks=("mix",), is_open=True), 0)
    True
    >>> says_nothing(Estimate(0.0, 0.0, 0.0), 0)
    False
    >>> says_nothing(Estimate(0.0, 0.0, 0.0, lacks=("the vessel",), is_open=True), 0, False)
    False
    """
    told = round(told_number(estimate, digits), digits)
    counts_none = is_amount and told == 0 and (estimate.bound != "about" or estimate.low >= 0)
    return (estimate.bound in ("at least", "about") and counts_none) or math.isinf(told)


def _on_field(make: type[Figure], field: str, **parts: float | str) -> Figure:
    try:
        return make(**parts)  # type: ignore[arg-type]
    except InvalidInput as error:
        raise InvalidInput.of(field, error.message) from error
