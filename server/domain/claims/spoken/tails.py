"""What is said of a number behind its unit: "two minutes and a half", "two minutes thirty".

>>> from server.domain.base.languages import supported
>>> from server.domain.base.tokens import tokens_of
>>> en = supported("en")
>>> tail(tokens_of("two minutes and a half"), 2, en, 60.0), tail(tokens_of("1 min 30"), 2, en, 60.0)
((5, 0.5), (3, 0.5))
"""

from collections.abc import Sequence

from server.domain.base.languages import Language
from server.domain.base.tokens import Token, number_of
from server.domain.claims.said_numbers import SaidNumber, cardinal

_GOES_ON = (
    "in",
    "of",
    "for",
    "and",
    "then",
    "on",
    "later",
    "after",
    "is",
    "at",
    "with",
    "no",
    "this",
    "today",
    "flat",
    "exactly",
    "or",
    "so",
    "it",
    "i",
    "we",
    "the",
    "before",
)
"""Words that may follow "two minutes thirty"; before a noun the number counts that instead."""


def is_range(gap: str, one: SaidNumber, other: SaidNumber, denied: bool) -> bool:
    """Whether a number right behind another ends a range: "50-55", "two, three", "two three".

    `gap` is what stands between them; a comma or nothing may also mend what is denied: "not one,
    two".
    """
    if gap == "":
        return not denied and one.is_word and other.value == one.value + 1
    return gap in ("-", "–", "—") or (gap == "," and not denied)


def tail(
    tokens: Sequence[Token], at: int, lang: Language, seconds: float | None
) -> tuple[int, float] | None:
    """Where what stands behind a unit ends, and how many units it adds; None where nothing does.

    `seconds` is the length of a unit of time; behind minutes and hours a bare number counts on.
    """
    half = _fraction(tokens, at, lang, is_time=seconds is not None)
    if half is not None:
        return half
    return _smaller(tokens, at, lang) if seconds in (60.0, 3600.0) else None


def _fraction(
    tokens: Sequence[Token], at: int, lang: Language, *, is_time: bool
) -> tuple[int, float] | None:
    if at >= len(tokens) or tokens[at].gap or tokens[at].norm not in lang.and_part:
        return None
    at += 1
    if at < len(tokens) and tokens[at].norm in lang.articles and not tokens[at].gap:
        at += 1
    if at >= len(tokens) or tokens[at].gap or tokens[at].norm not in lang.fractions:
        return None
    # "ten grams and half the water": the half is of what follows; not in "an hour and a half of
    # rest".
    is_of_time = is_time and tokens[at - 1].norm in lang.articles
    if (
        not is_of_time
        and at + 1 < len(tokens)
        and not tokens[at + 1].gap
        and tokens[at + 1].norm in _OF_IT
    ):
        return None
    return at + 1, lang.fractions[tokens[at].norm]


_OF_IT = ("the", "of", "a", "an", "as", "der", "die", "das", "des", "del", "della", "do", "da")


def _smaller(tokens: Sequence[Token], at: int, lang: Language) -> tuple[int, float] | None:
    """ "thirty" behind "two minutes": so many of the next smaller unit."""
    if at >= len(tokens) or tokens[at].gap:
        return None
    end, value = at + 1, _value(tokens[at], lang)
    if value is not None and end < len(tokens) and not tokens[end].gap.strip("-"):
        more = _value(tokens[end], lang)
        if more is not None and value % 10 == 0 and more < 10:
            end, value = end + 1, value + more
    if value is None or not 1 < value < 60 or not _stops(tokens, end):
        return None
    return end, value / 60


def _value(token: Token, lang: Language) -> float | None:
    return number_of(token.norm) if token.is_number else cardinal(token.norm, lang.code)


def _stops(tokens: Sequence[Token], at: int) -> bool:
    return at >= len(tokens) or bool(tokens[at].gap) or tokens[at].norm in _GOES_ON
