"""Time calls as people type them: by the clock or by what is left, and where the two disagree.

>>> [(call.at_s, call.words) for call in parse_calls("2:00 left\\n5:00 Half way", 720)]
[(300.0, 'Half way'), (600.0, '2:00 left')]
>>> doubts(parse_calls("0:30 Thirty seconds left", 720), 720)[0].meant_s
690.0
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from server.domain.base.durations import (
    format_duration,
    parse_duration,
    parse_minutes,
    write_duration,
)
from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.text import LINE
from server.domain.routine.rules import TimeCall

SAME_S = 1.0
"""Words and clock agree within a second."""

_LEFT = re.compile(r"(left|to go|remaining)\b[\s.,:–-]*", re.IGNORECASE)
_WITH_UNITS = re.compile(
    r"\d+(?:[.,]\d)?\s*(?:min(?:ute)?s?|m)(?:\s*\d+\s*(?:sec(?:ond)?s?|s))?(?!\w)"
    r"|\d+\s*(?:sec(?:ond)?s?|s)(?!\w)",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_NUMBERS: dict[str, float] = {
    "half a": 0.5, "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
    "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "fifteen": 15,
    "twenty": 20, "thirty": 30, "forty": 40, "forty-five": 45, "fifty": 50, "sixty": 60,
    "ninety": 90,
}  # fmt: skip
_SAID = re.compile(
    rf"\b(?:(?P<clock>\d+:[0-5]\d)|(?P<n>\d+(?:\.\d+)?|{'|'.join(sorted(_NUMBERS, key=len)[::-1])})"
    r"[\s-]*(?P<unit>min(?:ute)?s?|m|sec(?:ond)?s?|s))\s+(?:left|to go|remain(?:ing)?)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class CallDoubt:
    """A call whose words name another time left than its clock; `meant_s` is where they put it."""

    call: TimeCall
    meant_s: float


def parse_calls(text: str, slot_s: float) -> tuple[TimeCall, ...]:
    """The time calls in a text, one a line, in the order of the clock.

    "5:00 Half way" is called at 5:00 on the clock, "2:00 left Two minutes" or "2 min left" two
    minutes before the slot of `slot_s` seconds ends. Raises InvalidInput with a fault for each line
    that is neither.
    """
    calls: list[TimeCall] = []
    faults: list[Fault] = []
    for line in filter(None, map(str.strip, text.splitlines())):
        try:
            calls.append(_call(line, slot_s))
        except InvalidInput as error:
            faults += error.faults
    refuse_if(faults)
    return tuple(sorted(calls, key=lambda call: call.at_s))


def written(call: TimeCall, slot_s: float) -> str:
    """A call as a line that reads as the same call again.

    Words that say what is left are written by what is left: in another slot they stay true.
    """
    left_s = slot_s - call.at_s
    said_s = left_in_words(call.words)
    is_by_what_is_left = said_s is not None and abs(left_s - said_s) <= SAME_S
    if left_s >= 0 and (is_by_what_is_left or _LEFT.match(call.words)):
        left = f"{write_duration(left_s)} left"
        line = left if call.words == left else f"{left} {call.words}"
        if _call(line, slot_s) == call:
            return line
    return f"{write_duration(call.at_s)} {call.words}"


def left_in_words(words: str) -> float | None:
    """The seconds left that the words of a call name, in English; None where they name none."""
    found = _SAID.search(words)
    if found is None:
        return None
    if found["clock"]:
        return parse_duration(found["clock"])
    number = found["n"].lower()
    value = _NUMBERS[number] if number in _NUMBERS else float(number)
    return float(value) * (60 if found["unit"].lower().startswith("m") else 1)


def doubts(calls: Iterable[TimeCall], slot_s: float) -> tuple[CallDoubt, ...]:
    """The calls whose words and clock disagree in a slot of `slot_s` seconds."""
    told = ((call, left_in_words(call.words)) for call in calls)
    return tuple(
        CallDoubt(call, slot_s - left_s)
        for call, left_s in told
        if left_s is not None and abs(slot_s - call.at_s - left_s) > SAME_S
    )


def _call(line: str, slot_s: float) -> TimeCall:
    typed, words = _time_and_words(line)
    try:
        at_s = parse_minutes(typed, "calls")
    except InvalidInput as error:
        if _NUMBER.fullmatch(typed):
            raise InvalidInput.of("calls", f"“{line[:40]}”: {error.message}") from None
        raise InvalidInput.of(
            "calls", f"“{line[:40]}” does not start with a time. Write 5:00 Half way, or 2:00 left."
        ) from None
    if len(words) > LINE:
        raise InvalidInput.of("calls", f"“{line[:40]}…” is too long for a time call.")
    by_what_is_left = _LEFT.match(words)
    if by_what_is_left is None:
        return TimeCall(at_s, words or format_duration(at_s))
    if at_s > slot_s:
        raise InvalidInput.of("calls", f"“{line[:40]}”: so much is never left in this slot.")
    said = words[by_what_is_left.end() :] or f"{format_duration(at_s)} left"
    return TimeCall(slot_s - at_s, said)


def _time_and_words(line: str) -> tuple[str, str]:
    """The time a line starts with, its unit too where that stands apart: "2 min", "1 m 30 s"."""
    found = _WITH_UNITS.match(line)
    if found is not None:
        return found[0], line[found.end() :].strip()
    typed, _, words = line.partition(" ")
    return typed, words.strip()
