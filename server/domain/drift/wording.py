"""Numbers and spans of time as the sentences speak them; bounds are rounded outwards.

>>> seconds(4.06), between(1.83, 6.41), span(14), share(0.834)
('4.1 s', '1.8 to 6.5 s', 'two weeks', '83 %')
"""

import math
from datetime import date, datetime

from server.domain.base.durations import format_clock, tenths_of
from server.domain.base.number_words import counted, in_words

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_DUST = 1e-9


def seconds(length_s: float) -> str:
    """A length of time without its sign, to a tenth: 4.06 -> "4.1 s"."""
    return f"{tenths_of(length_s) / 10:.1f} s"


def between(low_s: float, high_s: float) -> str:
    """The bounds of a length of time, rounded outwards to a tenth."""
    low, high = math.floor(low_s * 10 + _DUST) / 10, math.ceil(high_s * 10 - _DUST) / 10
    return f"{_signed(low)} to {_signed(high)} s"


def clock_between(low_s: float, high_s: float) -> str:
    """Two times on the clock, rounded outwards to whole seconds: "9:41 and 10:02"."""
    low, high = math.floor(low_s + _DUST), math.ceil(high_s - _DUST)
    return f"{format_clock(low)} and {format_clock(high)}"


def share(part: float) -> str:
    """A part of the whole: "83 %"; never 0 or 100, which nobody can know."""
    percent = math.floor(part * 100 + 0.5)
    if percent < 1:
        return "less than 1 %"
    return "more than 99 %" if percent > 99 else f"{percent} %"


def span(days: int) -> str:
    """A number of days as people say it: "nine days", "two weeks", "about three months"."""
    weeks = round(days / 7)
    if weeks >= 2 and abs(days - 7 * weeks) <= 1 and days < 60:
        return f"{in_words(weeks)} weeks"
    if days < 60:
        return counted(days, "day")
    return f"about {counted(round(days / 30.4), 'month')}"


def day(moment: datetime | date) -> str:
    """A day without its year: "3 May"."""
    return f"{moment.day} {_MONTHS[moment.month - 1]}"


def _signed(value: float) -> str:
    return f"−{abs(value):.1f}" if value < 0 else f"{value:.1f}"
