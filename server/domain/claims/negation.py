"""Whether a claim says that something is there, is not there, or is there within bounds."""

from collections.abc import Sequence
from functools import cache
from typing import Literal

from server.domain.base.languages import supported
from server.domain.base.words import Token

Polarity = Literal["has", "lacks", "some"]

REACH = 6
"""How many tokens behind a negator its word may stand."""

_NOT_A_DENIAL = ("only", "just", "doubt", "miss", "wonder", "matter", "longer", "problem")
"""Behind "no", "not" or "don't" these deny nothing of the flavour: "not only sweet"."""


def polarity(tokens: Sequence[Token], first: int, sentence: int, language: str = "en") -> Polarity:
    """How the word at `first` is claimed, in the sentence that starts at token `sentence`."""
    negators, ends, bounds = _sets(language)
    graded = False
    for at in range(first - 1, max(sentence, first - REACH) - 1, -1):
        word = tokens[at].norm
        if word in negators:
            return _denied(tokens, at, graded)
        if word in bounds:
            graded = True
        elif word in ends or _is_break(tokens, at + 1, first) or _starts_anew(tokens, at):
            return "has"
    return "has"


def _denied(tokens: Sequence[Token], at: int, graded: bool) -> Polarity:
    after = tokens[at + 1].norm if at + 1 < len(tokens) else ""
    if after in _NOT_A_DENIAL:
        return "has"
    # "sugar-free" and "free of" deny; "free" before other words does not.
    if tokens[at].norm == "free" and after not in ("of", "from"):
        return "has"
    return "some" if graded else "lacks"


def _starts_anew(tokens: Sequence[Token], at: int) -> bool:
    """ "no smoke and a lot of honey": what is denied ends before such an "and"."""
    return tokens[at].norm == "and" and tokens[at + 1].norm in _NEW_PART


def _is_break(tokens: Sequence[Token], at: int, first: int) -> bool:
    gap = tokens[at].gap.strip("-'\"“”’")
    return gap != "" and at <= first


_NEW_PART = ("a", "an", "the", "some", "lots", "plenty", "really", "very", "full")


@cache
def _sets(language: str) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    lang = supported(language)
    negators = frozenset(lang.negators)
    return negators, frozenset(lang.negation_ends) - negators, frozenset(lang.sides_with_negator)
