"""Answers in whole sentences, and what is said right behind a word to deny it.

"Would I call it smoky? I would not", "cloying it is not", "as for bitterness, there isn't any". All
of it English.
"""

from collections.abc import Sequence
from typing import Literal

from server.domain.base.tokens import Token

Told = Literal["has", "lacks", "some"]

_BEHIND = (
    ("it", "is", "not"), ("it", "isn't"), ("it's", "not"), ("it", "ain't"), ("it", "never", "is"),
    ("this", "is", "not"), ("this", "isn't"), ("they", "aren't"), ("it", "does", "not"),
    ("not", "here"), ("not", "in", "here"), ("not", "in", "my", "bar"),
    ("not", "in", "this"), ("not", "this", "one"),
    ("in", "vain"), ("none",), ("none", "at", "all"), ("none", "whatsoever"), ("certainly", "not"),
    ("definitely", "not"), ("absolutely", "not"), ("not", "really"), ("no",),
)  # fmt: skip
"""What denies the word before it where the clause ends there."""


_BEHIND_BY_FIRST = {
    words[0]: tuple(each for each in _BEHIND if each[0] == words[0]) for words in _BEHIND
}

ASKS = frozenset(
    [
        "would", "could", "can", "do", "does", "did", "is", "are", "will", "should", "has", "have",
        "was", "am",
    ]
)  # fmt: skip
"""What a question begins with, and an answer to it repeats."""

WHO = frozenset(["i", "we", "it", "you", "they", "he", "she", "this"])
_CLAIMING = frozenset(["tell", "say", "call", "claim", "pretend", "promise", "swear", "argue"])
_UNTRUE = frozenset(["lying", "lie", "lies", "untrue", "wrong", "fibbing"])


def replied_at_length(tokens: Sequence[Token], first: int, end: int, sentence: int) -> Told | None:
    """What the words behind those from `first` to `end` answer; None where they do not."""
    return (
        _behind(tokens, end)
        or _replied(tokens, first, end, sentence)
        or _topic(tokens, end, sentence)
        or _lied(tokens, first, end, sentence)
    )


def is_parted(token: Token) -> bool:
    """Whether a mark stands before a word."""
    return bool(token.gap.strip("-'\"“”’"))


def _ends(tokens: Sequence[Token], at: int) -> bool:
    return at >= len(tokens) or is_parted(tokens[at])


def _behind(tokens: Sequence[Token], end: int) -> Told | None:
    """ "Cloying it is not.", "you will look for smoke in vain"."""
    if _ends(tokens, end):
        return None
    for words in _BEHIND_BY_FIRST.get(tokens[end].norm, ()):
        stop = end + len(words)
        said = tuple(token.norm for token in tokens[end:stop])
        if said == words and _ends(tokens, stop):
            return "lacks"
    return None


def _replied(tokens: Sequence[Token], first: int, end: int, sentence: int) -> Told | None:
    """ "Would I call it smoky? I would not.", "Could you do without smoke? I couldn't."."""
    asks = tokens[sentence].norm
    if asks not in ASKS or end >= len(tokens) or first - sentence > 8:
        return None
    is_marked = "?" in tokens[end].gap
    if not is_marked and tokens[end].gap:
        return None
    said = [token.norm for token in tokens[end : end + 3]]
    if any(tuple(said[: len(words)]) == words for words in _OPPOSITE):
        return "lacks"
    stop = _length(said)
    if not stop or not _ends(tokens, end + stop):
        return None
    helper = said[1].removesuffix("n't")
    helper = {"ca": "can", "wo": "will"}.get(helper, helper)
    if not is_marked and not (helper.startswith(asks) or asks.startswith(helper)):
        return None
    words = [token.norm for token in tokens[sentence:first]]
    is_denied = any(one == "without" or one.endswith("n't") for one in words)
    is_no = said[1].endswith("n't") or said[2:3] == ["not"]
    return "has" if is_no == is_denied else "lacks"


_OPPOSITE = (
    ("quite", "the", "opposite"), ("the", "opposite"), ("on", "the", "contrary"),
    ("far", "from", "it"), ("anything", "but"), ("quite", "the", "reverse"),
)  # fmt: skip
"""Answers that turn a question round."""

_TOPICS = (("as", "for"), ("when", "it"), ("if", "you"))


def _topic(tokens: Sequence[Token], end: int, sentence: int) -> Told | None:
    """ "As for bitterness, there isn't any."."""
    begins = tuple(token.norm for token in tokens[sentence : sentence + 2])
    if begins not in _TOPICS or end >= len(tokens):
        return None
    said = [token.norm for token in tokens[end : end + 4]]
    denies = any(one.endswith("n't") or one in ("no", "not") for one in said[1:2])
    none = said[:2] in (["there's", "none"], ["there", "is"]) and "none" in said
    return "lacks" if none or (denies and said[0] in WHO | {"there"} and "any" in said) else None


def _length(said: Sequence[str]) -> int:
    """How many words of an answer are "I would not", "it isn't", "I would"; 0 where it is none."""
    if len(said) < 2 or said[0] not in WHO:
        return 0
    if said[1].endswith("n't"):
        return 2
    if said[1] not in ASKS:
        return 0
    return 3 if said[2:3] == ["not"] else 2


def _lied(tokens: Sequence[Token], first: int, end: int, sentence: int) -> Told | None:
    """ "I could tell you it's fruity, but I'd be lying."."""
    if end >= len(tokens) or tokens[end].norm != "but":
        return None
    # Where no marks stand, "it's" begins a clause of its own.
    begin = sentence if is_parted(tokens[sentence]) else max(0, sentence - 4)
    words = {token.norm for token in tokens[begin:first]}
    claims = {"could", "might", "can"} & words and _CLAIMING & words
    if not claims:
        return None
    return "lacks" if _UNTRUE & {token.norm for token in tokens[end : end + 6]} else None
