"""Comparisons: "more quince than lemon", "less sweet than it smells", "no sweeter than an apple".

What weighs less is there within bounds; what something is only held up against claims nothing.
All of it English, and by the words of one clause.
"""

from collections.abc import Sequence
from typing import Literal

from server.domain.base.tokens import Token

FAR = 7
"""Most tokens between "more" or "less" and its "than"."""

_SMALL = frozenset({"of", "like", "the", "its", "a", "an", "about"})
"""Words between "more", "less" or "than" and what is weighed."""

_STANDARDS = frozenset(
    {
        "a", "an", "any", "most", "other", "many", "your", "my", "that", "those", "black", "usual",
        "ordinary", "normal",
    }
)  # fmt: skip
"""Behind "than" or "as" these name a thing of the world that the drink is held up against."""

_HOLDS_UP = frozenset({"than", "as"})

_WITHIN = (("near", "as"), ("nearly", "as"), ("half", "as"), ("quite", "as"))
"""Before a word: "nowhere near as sweet", "not half as heavy", "not quite as dry"."""


def weighed(tokens: Sequence[Token], first: int, end: int, start: int) -> Literal["some"] | None:
    """Whether a word from `first` to `end` is the lighter side of a comparison of its clause.

    >>> from server.domain.base.tokens import tokens_of
    >>> def read(text, at):
    ...     return weighed(tokens_of(text), at, at + 1, 0)
    >>> read("it is more quince than lemon", 3), read("it is more quince than lemon", 5)
    (None, 'some')
    >>> read("it's less sweet than it smells", 2), read("sourer than it is sweet", 4)
    ('some', 'some')
    """
    before = _words_before(tokens, first, start)
    if tuple(before[-2:]) in _WITHIN and tokens[end : end + 1] and tokens[end].norm == "as":
        return "some"
    at = len(before) - 1
    while at >= 0 and before[at] in _SMALL:
        at -= 1
    if at >= 0 and before[at] == "less" and not {"a", "an"} & set(before[at:]):
        return None if before[at - 1 : at] in (["no"], ["not"], ["nothing"]) else "some"
    if before[-3:] in (["than", "it", "is"],) or before[-2:] == ["than", "it's"]:
        return "some"
    if at < 0 or before[at] != "than":
        return None
    return "some" if _scale(before[:at]) == "more" else None


def has_scale(tokens: Sequence[Token], first: int, end: int, start: int, stop: int) -> bool:
    """Whether a word is one side of "more A than B", or of "less A than B"."""
    before = _words_before(tokens, first, start)
    if before[-1:] in (["more"], ["less"]):
        behind = _words_behind(tokens, end, stop)
        return "than" in behind[:3]
    return before[-1:] == ["than"] and _scale(before[:-1]) != ""


def is_standard(tokens: Sequence[Token], first: int, start: int) -> bool:
    """ "sweeter than a ripe apple", "as sour as any lemon": what it is held up against."""
    if _HOLDS_UP.isdisjoint([token.norm for token in tokens[max(start, first - 4) : first]]):
        return False
    before = _words_before(tokens, first, start)[-4:]
    for at, word in enumerate(before[:-1]):
        if word in ("than", "as") and before[at + 1] in _STANDARDS:
            return True
    return False


def _scale(before: Sequence[str]) -> str:
    """ "more" or "less" before a "than", where it is not "more … rather than"."""
    if before[-1:] == ["rather"]:
        return ""
    near = before[-FAR:]
    return next((word for word in reversed(near) if word in ("more", "less")), "")


def _words_before(tokens: Sequence[Token], first: int, start: int) -> list[str]:
    """The words of the clause before a place, as far as no mark parts them."""
    at, least = first, max(start, first - FAR - 4)
    while at > least and not tokens[at].gap.strip("-'\"“”’"):
        at -= 1
    return [token.norm for token in tokens[at:first]]


def _words_behind(tokens: Sequence[Token], end: int, stop: int) -> list[str]:
    words: list[str] = []
    while end < stop and len(words) < FAR and not tokens[end].gap.strip("-'\"“”’"):
        words.append(tokens[end].norm)
        end += 1
    return words
