"""Spans of minutes, hours, days and weeks, as people write them of work in a kitchen.

>>> parse_span("20 min"), parse_span("1 h 30"), parse_span("3 days"), parse_span("1.5 h")
(1200.0, 5400.0, 259200.0, 5400.0)
>>> format_span(parse_span("3 weeks")), format_span(parse_span("1 week 2 days"))
('21 days', '9 days')
>>> format_span(1200), format_span(5400), format_span(266400), format_span(0)
('20 min', '1 h 30 min', '3 days 2 h', '0 min')
"""

import re

from server.domain.base.durations import DAY_S, HOUR_S, HOURS, MINUTE_S, MINUTES
from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import PATTERN, read_number, write_number
from server.domain.routine.preparing import LONGEST_TASK_S

_SPAN = re.compile(
    rf"(?:(?P<w>{PATTERN})\s*w(?:eeks?|ks?)?)?\s*"
    rf"(?:(?P<d>{PATTERN})\s*(?:d(?:ays?)?|tage?|d[ií]as?|jours?|giorn[oi]))?\s*"
    rf"(?:(?P<h>{PATTERN})\s*(?:hrs?|{HOURS}))?\s*"
    rf"(?:(?P<m>{PATTERN})\s*{MINUTES}?)?",
    re.IGNORECASE,
)


def parse_span(text: str, field: str = "span") -> float:
    """The seconds meant by "20 min", "1 h 30 min", "3 days" or "2 weeks"; a bare number is minutes.

    Raises InvalidInput on `field`; on "1:30" too, which could be minutes or hours.
    """
    typed = text.strip()
    match = _SPAN.fullmatch(typed)
    if not typed or match is None:
        raise InvalidInput.of(field, "Write it as 20 min, 1 h 30 min or 3 days.")
    sizes = (("w", 7 * DAY_S), ("d", DAY_S), ("h", HOUR_S), ("m", MINUTE_S))
    span_s = sum(size_s * read_number(match[name] or "0", field) for name, size_s in sizes)
    if span_s > LONGEST_TASK_S:
        raise InvalidInput.of(field, "Up to 90 days.")
    return span_s


def format_span(span_s: float) -> str:
    """A span in its two largest units, to the minute; days from two days on."""
    minutes = round(abs(span_s) / MINUTE_S)
    days, rest = divmod(minutes, 1440) if minutes >= 2880 else (0, minutes)
    hours, rest = divmod(rest, 60)
    if days:
        rest = 0
    parts = (
        (days, "days"),
        (hours, "h"),
        (rest, "min"),
    )
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "0 min"


def format_wait(span_s: float) -> str:
    """How long something is still off: below two minutes by the second; nothing once it is due.

    The countdown of the browser says the same.

    >>> format_wait(90), format_wait(5100), format_wait(0)
    ('In 90 s', 'In 1 h 25 min', '')
    """
    if span_s <= 0:
        return ""
    seconds = round(span_s)
    return f"In {seconds} s" if seconds < 2 * MINUTE_S else f"In {format_span(seconds)}"


def write_span(span_s: float) -> str:
    """A span as a form shows it: so that it reads back the same.

    >>> write_span(5400), write_span(266460), write_span(259200), write_span(90)
    ('1 h 30 min', '74 h 1 min', '3 days', '1.5 min')
    """
    if span_s % MINUTE_S:
        return f"{write_number(span_s / MINUTE_S)} min"
    if span_s % DAY_S == 0 and span_s >= 2 * DAY_S:
        return f"{span_s / DAY_S:.0f} days"
    hours, rest_s = divmod(span_s, HOUR_S)
    parts = [f"{hours:.0f} h"] if hours else []
    parts += [f"{rest_s / MINUTE_S:.0f} min"] if rest_s or not hours else []
    return " ".join(parts)
