"""Whether a spoken amount is for one glass or for all: "forty in each glass", "160 in all".

>>> share_of("In each glass there are 160 ml of gin.", 24, 30, "en")
'one'
>>> share_of("I pour 160 ml of gin, forty in each glass.", 7, 13, "en")
''
"""

from itertools import pairwise
from typing import Literal

from server.domain.base.tokens import Token, tokens_kept
from server.domain.claims.said_numbers import is_cardinal

Share = Literal["one", "all", ""]

NEAR = 6
"""Words before or behind an amount in which it is told; another number ends them."""

_EACH = frozenset(
    {
        "each", "every", "per", "je", "pro", "jedes", "jedem", "jeden", "jeder", "par", "chaque",
        "por", "cada", "ogni",
    }
)  # fmt: skip
_SERVES = frozenset(
    {
        "glass", "cup", "mug", "coupe", "serve", "serving", "portion", "person", "head", "guest",
        "judge", "of", "glas", "gläser", "tasse", "becher", "gast", "verre", "personne", "copa",
        "taza", "vaso", "persona", "bicchiere", "tazza", "copo", "taça", "xícara", "pessoa",
        "chávena",
    }
)  # fmt: skip
_ALL = (
    ("in", "all"), ("in", "total"), ("all", "together"), ("for", "all"), ("insgesamt",),
    ("altogether",), ("zusammen",), ("en", "tout"), ("au", "total"), ("en", "total"),
    ("in", "tutto"), ("no", "total"), ("ao", "todo"),
)  # fmt: skip


_ALL_BEGIN = frozenset(phrase[0] for phrase in _ALL)


def share_of(sentence: str, start: int, end: int, language: str) -> Share:
    """What the words around an amount (its place in its sentence) say of whose it is."""
    tokens = tokens_kept(sentence)
    behind = _upto_number([t for t in tokens if t.start >= end][:NEAR], language)
    ahead = [t for t in tokens if t.end <= start][-NEAR - 1 :][::-1]
    before = _upto_number(ahead, language)[::-1]
    if behind[:1] == ["a"] and not _SERVES.isdisjoint(behind[1:2]):
        return "one"
    if len(before) < len(ahead):
        # "One sixty each of rum and tea, sixty of lime": the "each" is that of the number before.
        before = before[1:] if before[:1] and before[0] not in _EACH else before
        before = [] if before[:1] and before[0] in _EACH else before
    for words in (behind, before):
        if not _ALL_BEGIN.isdisjoint(words) and any(_is_of_all(words, phrase) for phrase in _ALL):
            return "all"
        if any(one in _EACH and other in _SERVES for one, other in pairwise(words)):
            return "one"
    return ""


def _is_of_all(words: list[str], phrase: tuple[str, ...]) -> bool:
    """ "In all of them" is in each of them, and no total."""
    size = len(phrase)
    return any(
        tuple(words[at : at + size]) == phrase and words[at + size : at + size + 1] not in _NO_SUM
        for at in range(len(words) - size + 1)
    )


_NO_SUM = (["of"], ["the"], ["these"], ["those"], ["my"], ["our"])


def _upto_number(tokens: list[Token], language: str) -> list[str]:
    words: list[str] = []
    for token in tokens:
        if token.is_number or is_cardinal(token.norm, language):
            break
        words.append(token.norm)
    return words
