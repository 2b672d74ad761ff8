"""Which words of the routine speak of a thing, so that a thing knows the segments that use it."""

import re
from functools import lru_cache

from server.domain.base.text import plain_name
from server.domain.routine.routine import Segment

WORD = re.compile(r"[^\W\d_]+")
_FEWEST_LETTERS = 4
_SAY_NOTHING = frozenset(
    (
        "aged", "cold", "cool", "each", "fresh", "from", "glass", "into", "large", "made", "over",
        "part", "parts", "small", "solution", "strip", "syrup", "water", "warm", "with",
    )
)  # fmt: skip


_SHAPES_OF_ICE = frozenset(
    ("ice", "block", "clear", "cracked", "crushed", "cube", "large", "pebble", "sphere", "spear")
)


def key_of(kind: str, name: str) -> str:
    """The key by which a thing is ticked: the same for the same name, whatever holds it.

    >>> key_of("ingredient", "Lemon  Juice")
    'ingredient:lemon juice'
    """
    return f"{kind}:{plain_name(name)}"[:120]


def telling_words(name: str) -> frozenset[str]:
    """The words by which a name is spoken of: those before its first comma that say something.

    >>> sorted(telling_words("Pear brandy, unaged, 40 % vol"))
    ['brandy', 'pear']
    """
    head = re.split(r"[,(;]", name, maxsplit=1)[0]
    words = words_of(head)
    telling = {word for word in words if len(word) >= _FEWEST_LETTERS} - _SAY_NOTHING
    return frozenset(telling or words - _SAY_NOTHING or words)


def is_ice(name: str) -> bool:
    """Whether a name says nothing but ice, in whatever shape.

    >>> is_ice("Ice cubes"), is_ice("crushed ice"), is_ice("Ice cream")
    (True, True, False)
    """
    words = words_of(name)
    return "ice" in words and words <= _SHAPES_OF_ICE


def spoken_in(segment: Segment) -> frozenset[str]:
    """The words of what hands do and voice says in a segment, and of its name, as singulars."""
    return words_of(f"{segment.name} {segment.hands} {segment.said}")


def handled_in(segment: Segment) -> frozenset[str]:
    """The words of what hands do in a segment, and of its name, as singulars."""
    return words_of(f"{segment.name} {segment.hands}")


@lru_cache(maxsize=1024)
def words_of(text: str) -> frozenset[str]:
    """The words of a text, each as a singular."""
    return frozenset(_singular(word) for word in WORD.findall(text.casefold()))


def _singular(word: str) -> str:
    if len(word) > 4 and word.endswith(("ses", "shes", "ches", "xes")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
