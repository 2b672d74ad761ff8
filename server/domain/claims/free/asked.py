"""Answers to a question for what is left out: "What isn't in it? Alcohol. Nuts. Milk."."""

from collections.abc import Sequence

from server.domain.base.tokens import Token

LONGEST_QUESTION = 9
LONGEST_ANSWER = 5
MOST_ANSWERS = 8

_STOPS = frozenset(".!?\n…")
_LEFT_OUT = frozenset({"isn't", "not", "missing", "won't", "without", "leave", "left", "absent"})
_OF_IT = frozenset({"in", "out", "missing", "find", "absent", "here"})


def answers_what_lacks(tokens: Sequence[Token], first: int) -> bool:
    """Whether the sentence from `first` on answers what is not in the drink.

    >>> from server.domain.base.tokens import tokens_of
    >>> answers_what_lacks(tokens_of("What isn't in it? Nuts. Milk."), 5)
    True
    >>> answers_what_lacks(tokens_of("What is in it? Nuts. Milk."), 5)
    False
    """
    at = first
    for _ in range(MOST_ANSWERS):
        begin = _begin(tokens, at)
        if begin == at:
            return False
        if "?" in tokens[at].gap:
            return _asks([token.norm for token in tokens[begin:at]])
        if at - begin > LONGEST_ANSWER:
            return False
        at = begin
    return False


def _begin(tokens: Sequence[Token], at: int) -> int:
    """Where the sentence before a place begins; the place itself where there is none."""
    if at <= 0 or at >= len(tokens):
        return at
    at -= 1
    while at > 0 and not _STOPS & set(tokens[at].gap):
        at -= 1
    return at


def _asks(words: Sequence[str]) -> bool:
    if len(words) > LONGEST_QUESTION or not {"what", "what's"} & set(words[:2]):
        return False
    return bool(_LEFT_OUT & set(words)) and bool(_OF_IT & set(words))
