"""What names, beside a denial, that which is not denied: "no sugar apart from the honey"."""

from collections.abc import Sequence

from server.domain.base.tokens import first_tokens

_BUT_FOR = (
    ("apart", "from"), ("aside", "from"), ("other", "than"), ("besides",), ("except",),
    ("excepting",), ("beyond",), ("but",), ("save", "for"), ("bar",), ("barring",),
    ("outside", "of"), ("unless", "you", "count"), ("if", "you", "don't", "count"),
)  # fmt: skip
_NEAR = frozenset({("but",), ("bar",), ("beyond",)})
"""Farther off these begin a clause or name a thing of their own."""

_AHEAD = (*_BUT_FOR[:4], ("except", "for"), ("save", "for"), ("barring",))

FARTHEST = 5
"""Most words between what is denied and its exception: "no sugar in it apart from …"."""


def is_but_for(behind: Sequence[str]) -> bool:
    """Whether the words right behind what is denied name what remains.

    >>> is_but_for("in it apart from the honey".split()), is_but_for("and it is bar".split())
    (True, False)
    """
    return any(
        tuple(behind[at : at + len(phrase)]) == phrase and not (at and phrase in _NEAR)
        for at in range(min(len(behind), FARTHEST))
        for phrase in _BUT_FOR
    )


def opens_but_for(ahead: Sequence[str]) -> bool:
    """The same at the head of a sentence: "Apart from the honey it has no sugar"."""
    return any(tuple(ahead[: len(phrase)]) == phrase for phrase in _AHEAD)


def makes_exception(sentence: str, start: int, end: int) -> bool:
    """Whether what is denied from `start` to `end` of a sentence is denied but for a part.

    >>> makes_exception("There is no sugar in it apart from the honey.", 9, 17)
    True
    """
    return is_but_for(_words(sentence[end:])) or opens_but_for(_words(sentence[:start]))


def _words(text: str) -> list[str]:
    return [token.norm for token in first_tokens(text, FARTHEST + 3)]
