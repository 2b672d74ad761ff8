"""Words made comparable: as they are spoken, without case, endings or digits.

A recogniser writes "40 ml" or "forty mils" for what the script has as "Forty millilitres": both
become the same words here, each with the place it came from.

>>> [each.stem for each in plain_words("Forty millilitres, don’t stir.", "en")]
['forti', 'ml', 'dont', 'stir']
>>> [each.stem for each in plain_words("45ml", "en")]
['forti', 'five', 'ml']
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from server.domain.base.languages import stem, supported
from server.domain.base.tokens import number_of, tokens_of
from server.domain.heard.words import TimedWord

_SIGNS = {"%": "percent", "°": "degrees", "°c": "degrees", "°f": "degrees"}
_LONGEST_SAID = 6
"""Digits of a number that is said as one; longer ones are told digit by digit."""


@dataclass(frozen=True)
class PlainWord:
    """A spoken word: its stem, and the place it came from.

    `start` and `end` are offsets into a text; `place` is the place of a word in a transcript.
    """

    stem: str
    start: int = 0
    end: int = 0
    place: int = 0


def plain_words(text: str, language: str) -> list[PlainWord]:
    """The spoken words of a text, with their offsets."""
    return [
        PlainWord(spoken, token.start, token.end)
        for token in tokens_of(text)
        for spoken in _spoken(token.norm, token.is_number, language)
    ]


def plain_heard(words: Sequence[TimedWord], language: str) -> list[PlainWord]:
    """The spoken words of a transcript, each with the place of the word it stands in."""
    return [
        PlainWord(spoken, place=place)
        for place, word in enumerate(words)
        for spoken in _heard(word.text, language)
    ]


@lru_cache(maxsize=20_000)
def _heard(text: str, language: str) -> tuple[str, ...]:
    return tuple(
        spoken
        for token in tokens_of(text)
        for spoken in _spoken(token.norm, token.is_number, language)
    )


@lru_cache(maxsize=20_000)
def _spoken(norm: str, is_number: bool, language: str) -> tuple[str, ...]:
    if is_number:
        return _said_number(norm, language)
    word = _SIGNS.get(norm, norm).replace("'", "")
    unit = _units(language).get(word)
    return (unit or stem(word, language),) if word else ()


@cache
def _units(language: str) -> dict[str, str]:
    """Every way to write a unit in one word -> the unit."""
    amounts = supported(language).amounts
    return {name: unit for unit, names in amounts.items() for name in names if " " not in name}


def _said_number(digits: str, language: str) -> tuple[str, ...]:
    # Takes a tenth of a second to load: only where there are digits.
    from num2words import num2words

    value = number_of(digits)
    if value is None or len(digits) > _LONGEST_SAID:
        return (digits,)
    lang = language if supported(language).has_number_words else "en"
    try:
        said = num2words(int(value) if value == int(value) else value, lang=lang)
    except (ValueError, OverflowError, NotImplementedError):
        return (digits,)
    words = re.findall(r"[^\W\d_]+", said)
    return tuple(stem(word.lower(), language) for word in words if word.lower() != "and")
