"""Jinja filters: how values read on a page. Pure but for the time zone of the server."""

import math
from datetime import date, datetime

from server.domain.base.durations import (
    LAST_MS,
    format_apart,
    format_clock,
    format_duration,
    format_passed,
    format_signed,
)
from server.domain.base.number_words import count
from server.domain.glass.allergens import ALLERGEN_WORDS, Allergen
from server.domain.glass.figure_text import in_digits, says_nothing, told_digits, told_number
from server.domain.glass.figures import Estimate
from server.domain.risk.saying import in_a_hundred
from server.domain.runs.summary import RunLine

NOT_KNOWN = "not known"
DEGREES = "°C"
"""What is counted in these says something at 0 too."""
"""In place of a bound that says nothing."""


def duration(seconds: float | None) -> str:
    """Seconds as m:ss, "–" where there is none."""
    return "–" if seconds is None else format_duration(seconds)


def clock(seconds: float | None) -> str:
    """Seconds as m:ss to the whole second, "–" where there is none."""
    return "–" if seconds is None else format_clock(seconds)


def clock_ms(ms: float | None) -> str:
    """Milliseconds as m:ss to the whole second, "–" where there is none."""
    return clock(None if ms is None else ms / 1000)


def moment_ms(ms: float) -> str:
    """When something was remarked: m:ss as the clock showed it then, on every page alike."""
    return format_passed(ms / 1000)


def split_ms(ms: float | None) -> str:
    """Milliseconds as m:ss.t, always with the tenth so that columns align; "–" for none."""
    if ms is None:
        return "–"
    text = format_duration(ms / 1000)
    return text if "." in text else f"{text}.0"


def signed(seconds: float | None) -> str:
    """A difference in seconds with sign and unit, "–" where there is none."""
    return "–" if seconds is None else format_signed(seconds)


def apart(
    seconds: float | None,
    more: str = "over",
    less: str = "under",
    same: str = "on plan",
    tenths: bool = False,
) -> str:
    """A difference in words, "–" where there is none."""
    return "–" if seconds is None else format_apart(seconds, more, less, same, tenths=tenths)


def apart_ms(
    ms: float | None, more: str = "over", less: str = "under", same: str = "on plan"
) -> str:
    """A measured difference in words, to the tenth of a second; "–" where there is none."""
    return apart(None if ms is None else ms / 1000, more, less, same, tenths=True)


def spread_ms(ms: float | None) -> str:
    """How far times lie apart: "4.1 s", "–" where there is none."""
    return "–" if ms is None else f"{ms / 1000:.1f} s"


def day(ms: int | None) -> str:
    """An instant as "24 Nov 2026, 14:05" in the time zone of the server; "–" for none."""
    if ms is None or ms > LAST_MS:
        return "–"
    moment = datetime.fromtimestamp(ms / 1000).astimezone()
    return f"{moment.day} {moment:%b %Y, %H:%M}"


def time_of_day(ms: int | None) -> str:
    """The time of an instant as "14:05", in the time zone of the server; "" for none."""
    if ms is None or ms > LAST_MS:
        return ""
    return f"{datetime.fromtimestamp(ms / 1000).astimezone():%H:%M}"


def short_day(ms: int | None) -> str:
    """An instant as "24 Nov", with the year where it is another than this one; "–" for none."""
    if ms is None or ms > LAST_MS:
        return "–"
    moment = datetime.fromtimestamp(ms / 1000).astimezone()
    words = f"{moment.day} {moment:%b}"
    return words if moment.year == datetime.now().astimezone().year else f"{words} {moment:%Y}"


def date_words(day: date) -> str:
    """A day as "24 Nov 2026"."""
    return f"{day.day} {day:%b %Y}"


def weekday_words(day: date) -> str:
    """A day near by as "Sun 29 Nov"."""
    return f"{day:%a} {day.day} {day:%b}"


def run_name(line: RunLine) -> str:
    """What a run is called: its label, or when it was run."""
    return line.label or day(line.started_ms or line.created_ms)


def decimal(value: float, digits: int = 0) -> str:
    """A number with so many decimals and a real minus sign, never "−0"; −1 stands for tens."""
    if math.isinf(value):
        return "∞"
    return in_digits(value, digits).replace("-", "−")


def estimate(value: Estimate | None, digits: int = 0, unit: str = "") -> str:
    """A computed quantity with its range where it has one.

    Where parts are missing it is "at least" (or "at most", where they would make it smaller, or
    "about", where nobody knows) what the others give; a range beside that would say how much it
    is, which is not known.
    """
    if value is None:
        return "–"
    digits = told_digits(value, digits)
    if says_nothing(value, digits, is_amount=unit != DEGREES):
        return NOT_KNOWN
    ends = (told_number(value, digits), value.low, value.high)
    number, low, high = (decimal(each, digits) for each in ends)
    least = f"{value.bound} " if value.bound else ""
    # Beside minus signs a dash reads as one more.
    dash = " to " if low.startswith("−") else "–"
    spread = f" ({low}{dash}{high})" if low != high and not least else ""
    return f"{least}{number}{f' {unit}' if unit else ''}{spread}"


def allergen(code: Allergen) -> str:
    """The words for an allergen."""
    return ALLERGEN_WORDS[code]


def percent(share: float) -> str:
    """A chance in whole percent, never quite none or quite certain where it is neither."""
    if 0 < share < 0.005:
        return "under 1 %"
    if 0.995 < share < 1:
        return "over 99 %"
    return f"{decimal(share * 100)} %"


def megabytes(size_bytes: int) -> str:
    """A size as "0.4 MB" or "12 MB"; large ones in GB."""
    size_mb = size_bytes / 1_000_000
    if size_mb >= 1000:
        return f"{decimal(size_mb / 1000, 1)} GB"
    return f"{decimal(size_mb, 0 if size_mb >= 10 else 1)} MB"


FILTERS = {
    "megabytes": megabytes,
    "percent": percent,
    "in_a_hundred": in_a_hundred,
    "allergen": allergen,
    "decimal": decimal,
    "estimate": estimate,
    "duration": duration,
    "clock": clock,
    "clock_ms": clock_ms,
    "moment_ms": moment_ms,
    "split_ms": split_ms,
    "signed": signed,
    "apart": apart,
    "apart_ms": apart_ms,
    "spread_ms": spread_ms,
    "short_day": short_day,
    "day": day,
    "date": date_words,
    "run_name": run_name,
    "count": count,
}
