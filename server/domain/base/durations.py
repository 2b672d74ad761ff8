"""Durations as people type and read them.

Durations are seconds (`float`) everywhere in the domain; runs keep milliseconds.

>>> parse_duration("1:15"), parse_duration("75"), parse_duration("1m15")
(75.0, 75.0, 75.0)
>>> format_duration(75), format_duration(589.6), format_signed(3.25), format_signed(-0.8)
('1:15', '9:49.6', '+3.3 s', '−0.8 s')
"""

import math
import re
from decimal import Decimal
from functools import partial
from typing import Annotated

from server.domain.base.errors import InvalidInput
from server.domain.base.limits import Between
from server.domain.base.numbers import PATTERN, read_number, write_number

MINUTE_MS, HOUR_MS, DAY_MS = 60_000, 3_600_000, 86_400_000
MINUTE_S, HOUR_S, DAY_S = 60.0, 3600.0, 86_400.0

TICK_S = 0.0005
"""Marks are whole milliseconds: what lies within half of one of a moment has not passed it."""

LONGEST_S = DAY_S
"""A duration beyond a day is a slip of the keyboard, not a plan (a rest of 12 h must fit)."""

Seconds = Annotated[float, Between(0, LONGEST_S, "A duration lies between 0:00 and a day.")]

LONGEST_MS = round(LONGEST_S * 1000)
"""The same in ms: no split of a run lasts longer, and no sleep of a device within it."""

LAST_MS = 253_370_764_800_000
"""The last instant that can be written as a date, in epoch ms (year 9999, to the day). A device
whose clock stands beyond it keeps its marks; only the date of the run is not shown."""

_DUST = 1e-9
"""What binary fractions take from a half."""

_CLOCK = re.compile(r"(?:(?P<h>\d+):(?=\d+:))?(?P<m>\d+):(?P<s>[0-5]?\d(?:[.,]\d+)?)")
_DOTTED = re.compile(r"(?P<m>\d{1,2})[.,](?P<s>[0-5]\d)")
"""What many write for minutes and seconds, and others for hundredths of a second: it is asked."""
_BARE = re.compile(r"[0-9]{1,2}")
_PLAIN = re.compile(rf"(?P<s>{PATTERN})")
HOURS = "(?:h|hours?|std|stunden?|heures?|horas?|or[ae])"
MINUTES = "(?:m|mins?|minutes?|minuten|minutos?|minut[oi]|['’‘′])"
"""How minutes are written behind their number, in the languages of talks; keyboards that set
quotation marks by themselves make ’ of the stroke for minutes, and ” of that for seconds."""
SECONDS = "(?:s|secs?|seconds?|sek|sekunden?|segs?|segundos?|secondes?|second[oi]|[\"”“″]|''|’’|′′)"
_UNITS = re.compile(
    rf"(?:(?P<h>{PATTERN})\s*{HOURS})?\s*"
    rf"(?:(?P<m>{PATTERN})\s*{MINUTES})?\s*"
    rf"(?:(?P<s>{PATTERN})\s*{SECONDS}?)?",
    re.IGNORECASE,
)


def parse_duration(text: str, field: str = "duration") -> float:
    """The seconds meant by `text`: "1:15", "75", "1m15", "1 min 15 s", "1:02:03", "7,5".

    Raises InvalidInput on `field` when the text is empty, no duration, negative or over a day.
    """
    typed = text.strip()
    if not typed:
        raise InvalidInput.of(field, "Give a duration, for example 1:15 or 75.")
    if typed.startswith(("-", "−")):
        raise InvalidInput.of(field, "A duration cannot be negative.")
    if dotted := _DOTTED.fullmatch(typed):
        clock, decimal = (mark.join(dotted.groups()) for mark in ":.")
        either = f"Type {clock} or {float(decimal):g} s."
        raise InvalidInput.of(field, f"“{typed}” could be minutes or seconds. {either}")
    match = _CLOCK.fullmatch(typed) or _PLAIN.fullmatch(typed) or _UNITS.fullmatch(typed)
    if match is None:
        raise InvalidInput.of(field, f"“{typed}” is no duration. Type 1:15, 75 or 1m15.")
    parts = match.groupdict()
    # Behind a colon there are no thousands: 1:02,500 is two seconds and a half.
    read = _after_colon if match.re is _CLOCK else partial(read_number, field=field)
    seconds = sum(
        weight * read(parts.get(name) or "0") for name, weight in (("h", 3600), ("m", 60), ("s", 1))
    )
    if seconds > LONGEST_S:
        raise InvalidInput.of(field, "That is longer than a day. Type minutes as 1:15.")
    return seconds


def parse_minutes(text: str, field: str) -> float:
    """The seconds meant where minutes are usual, as in a slot: "10" alone is asked about.

    >>> parse_minutes("10:00", "slot"), parse_minutes("10 min", "slot"), parse_minutes("90", "slot")
    (600.0, 600.0, 90.0)

    Raises InvalidInput on `field` as `parse_duration`, and for a bare number up to 60.
    """
    bare = text.strip()
    if _BARE.fullmatch(bare) and 0 < int(bare) <= 60:
        either = f"Type {bare}:00 or {bare} s."
        raise InvalidInput.of(field, f"“{bare}” could be minutes or seconds. {either}")
    return parse_duration(text, field)


def _after_colon(text: str) -> float:
    return float(text.replace(",", "."))


def write_duration(seconds: float) -> str:
    """`seconds` as a form shows them: as m:ss with every digit, so that they read back the same."""
    if not 0 <= seconds <= LONGEST_S:
        return format_duration(seconds)
    minutes = int(seconds // 60)
    rest = write_number(float(Decimal(repr(float(seconds))) - 60 * minutes))
    exact = f"{_minutes(minutes)}:{'0' if len(rest.partition('.')[0]) < 2 else ''}{rest}"
    return exact if _reads_as(exact, seconds) else write_number(seconds)


def _reads_as(text: str, seconds: float) -> bool:
    return bool(_CLOCK.fullmatch(text)) and parse_duration(text) == seconds


def format_duration(seconds: float) -> str:
    """`seconds` as m:ss, with tenths only where they are not zero: 75 -> "1:15".

    From 100 minutes on as h:mm:ss, as on stage: 6000 -> "1:40:00".
    """
    tenths = tenths_of(seconds)
    whole, tenth = divmod(tenths, 10)
    minutes, rest = divmod(whole, 60)
    sign = "−" if seconds < 0 and tenths else ""
    return f"{sign}{_minutes(minutes)}:{rest:02d}" + (f".{tenth}" if tenth else "")


def tenths_of(seconds: float) -> int:
    """The tenths of a second in a time without its sign, half up, as the stage rounds them.

    People read 3.25 as 3.3; binary rounding would say 3.2.

    >>> tenths_of(3.25), tenths_of(-0.35), tenths_of(4.05)
    (33, 4, 41)
    """
    return math.floor(abs(seconds) * 10 + 0.5 + _DUST)


def _minutes(minutes: int) -> str:
    return str(minutes) if minutes < 100 else f"{minutes // 60}:{minutes % 60:02d}"


def format_clock(seconds: float) -> str:
    """`seconds` as m:ss to the whole second, rounded half up: for totals that need no tenths."""
    return format_duration(_whole(seconds))


def left_of(whole_s: float, part_s: float) -> float:
    """`whole_s` less `part_s` as `format_clock` shows both, so that the three figures fit.

    >>> [format_clock(each) for each in (600, 392.5, left_of(600, 392.5), 600 - 392.5)]
    ['10:00', '6:33', '3:27', '3:28']
    """
    return _whole(whole_s) - _whole(part_s)


def _whole(seconds: float) -> float:
    return math.copysign(math.floor(abs(seconds) + 0.5), seconds)


def format_passed(seconds: float) -> str:
    """A reading of a running clock as it stood there: m:ss of the whole seconds that had passed.

    >>> format_passed(27.9)
    '0:27'
    """
    return format_duration(float(math.floor(seconds)))


def format_signed(seconds: float) -> str:
    """A difference in seconds with its sign and unit: 3.25 -> "+3.3 s"."""
    tenths = tenths_of(seconds)
    if tenths == 0:
        return "±0.0 s"
    sign = "−" if seconds < 0 else "+"
    return f"{sign}{tenths / 10:.1f} s"


def format_apart(
    seconds: float,
    more: str = "over",
    less: str = "under",
    same: str = "on plan",
    *,
    tenths: bool = False,
) -> str:
    """A difference in words, never with a sign: "26 s under", "1:11 ahead", "on plan".

    `tenths` is for what was measured: "1.8 s over". From a minute on it reads as m:ss.
    """
    size_s = tenths_of(seconds) / 10 if tenths else float(math.floor(abs(seconds) + 0.5))
    if not size_s:
        return same
    amount = format_clock(max(60.0, abs(seconds))) if size_s >= 60 else f"{size_s:g} s"
    return f"{amount} {more if seconds > 0 else less}"
