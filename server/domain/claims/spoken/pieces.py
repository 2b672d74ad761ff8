"""Clauses of text without punctuation: recognised speech, captions.

What a word does is read within its sentence; where speech was written down without marks, a
"sentence" runs on for minutes. It is read clause by clause then.

>>> from server.domain.base.tokens import tokens_of
>>> text = "so the gin brings juniper and then you taste lime and there is no smoke in it " * 3
>>> tokens = tokens_of(text)
>>> [" ".join(t.norm for t in tokens[a:b]) for a, b in pieces(tokens, 0, len(tokens))][:3]
['so the gin brings juniper', 'and then you taste lime', 'and there is no smoke in it']
"""

import re
from collections.abc import Sequence

from server.domain.base.tokens import Token

LONGEST_PLAIN = 24
"""A sentence of so many tokens is one, whatever its punctuation."""

MARKED_EVERY = 18
"""Where marks come more often than every so many tokens, they part the clauses."""

SHORTEST = 3

_PRONOUNS = frozenset(["i", "you", "we", "it", "there", "he", "she", "they", "this", "that"])
_VERBS = frozenset(
    [
        "is", "are", "was", "were", "has", "have", "had", "get", "gets", "will", "would", "can",
        "could", "should", "might", "may", "do", "does", "don't", "taste", "tastes", "feel",
        "feels", "find", "smell", "smells", "notice", "want", "take", "make", "use", "pour",
        "add", "give", "gives", "brew", "shake", "stir", "put", "need", "know", "think", "start",
        "begin", "call", "made", "took", "poured", "added", "came", "comes", "goes",
    ]
)  # fmt: skip
_SHORT = frozenset(
    [
        "it's", "that's", "there's", "what's", "you'll", "you're", "you've", "i'm", "i've",
        "i'll", "we're", "we'll", "we've", "he's", "she's", "they're",
    ]
)  # fmt: skip
_OPENERS = frozenset(
    [
        "so", "now", "okay", "ok", "please", "because", "but", "then", "judges", "um", "uh",
        "well", "also", "finally", "first", "next",
    ]
)  # fmt: skip
_ORDERS = frozenset(
    ["take", "drink", "smell", "breathe", "sip", "swallow", "taste", "lift", "enjoy", "imagine"]
)
_NOUNS = frozenset(["drink", "smell", "sip", "taste", "lift", "swallow"])
_AT_ONCE = frozenset(
    ["it", "this", "now", "the", "from", "slowly", "through", "with", "and", "please"]
)
_LEANS = frozenset(
    [
        "that", "which", "what", "if", "when", "and", "but", "because", "as", "of", "for", "to",
        "with", "like", "the", "a", "an", "or", "than", "who", "where", "while", "so", "then",
        "now", "please", "how", "why", "not", "until", "before", "after", "in", "on", "at",
        "from", "by",
    ]
)  # fmt: skip
"""Behind one of these a clause goes on."""


_ASKING = frozenset(["does", "do", "did", "will", "would", "can", "could", "should"])
"""Before a pronoun these turn a sentence round; it does not begin there."""

_STATES = frozenset(
    [
        "is", "are", "was", "were", "has", "isn't", "aren't", "wasn't", "brings", "gives", "comes",
        "goes", "will", "stays", "tastes", "smells", "gets", "takes",
    ]
)  # fmt: skip
_NAMES = frozenset(["the", "this", "that", "my", "your", "our", "its", "his", "her", "their"])
_DENIALS = frozenset(["no", "nothing", "never", "neither"])
_MARKS = re.compile(r"(?<!\d)[.,;:!?…]|[.,;:!?…](?!\d)|[\n–—]")


def is_unmarked(text: str) -> bool:
    """Whether a text was written down without any mark, as speech is recognised.

    >>> is_unmarked("it isn't bitter it's dry"), is_unmarked("It isn't bitter.")
    (True, False)
    """
    return _MARKS.search(text.strip()) is None


def pieces(
    tokens: Sequence[Token], first: int, end: int, *, unmarked: bool = False
) -> list[tuple[int, int]]:
    """The stretches (first token, end) in which a sentence is read: one, or its clauses.

    A long sentence almost without marks is read in clauses, and any in a text that has none.
    """
    if end - first <= LONGEST_PLAIN and not unmarked:
        return [(first, end)]
    marks = sum(bool(token.gap.strip("-'")) for token in tokens[first + 1 : end])
    if marks * MARKED_EVERY > end - first:
        return [(first, end)]
    starts = [first]
    for at in range(first + 1, end):
        is_row = tokens[at].norm in _SHORT and tokens[starts[-1]].norm in _SHORT
        least = SHORTEST - 1 if is_row else SHORTEST
        if at - starts[-1] >= least and _begins(tokens, at, end):
            starts.append(at)
    return list(zip(starts, [*starts[1:], end], strict=True))


def _begins(tokens: Sequence[Token], at: int, end: int) -> bool:
    word, before = tokens[at].norm, tokens[at - 1].norm
    if tokens[at].gap.strip("-'"):
        return True
    after = tokens[at + 1].norm if at + 1 < end else ""
    if word == "first" and after in ("for", "with", "in", "on"):
        return False
    if (word in _PRONOUNS and before in _ASKING) or before in ("nor", "neither"):
        # "Never once does it get heavy", "nor is it sour".
        return False
    if before in _LEANS and not (word == "and" and before in _NAMES):
        return False
    if word == "but" and (before in _DENIALS or before == "anything"):
        return False
    if word == "but" and after not in _PRONOUNS and after not in _SHORT and after not in _NAMES:
        return False
    if word == "and":
        third = tokens[at + 2].norm if at + 2 < end else ""
        return after in _OPENERS or after in _SHORT or _is_subject(after, third)
    if word in _NOUNS and before not in ("now", "please"):
        # "the oat drink and it is cold" names a thing; "drink and tell me" is an order.
        is_thing = after not in _AT_ONCE or (after == "and" and before not in _OPENERS)
        if is_thing:
            return False
    if word in _ORDERS:
        return before not in _PRONOUNS and before not in _VERBS and before != "first"
    if word in _OPENERS or word in _SHORT or _is_subject(word, after):
        return True
    if before in _VERBS or before in _STATES or before in _SHORT:
        return False
    if word in _DENIALS or (word in ("is", "are") and after == "it"):
        return True
    ahead = [token.norm for token in tokens[at + 2 : min(at + 4, end)]]
    return word in _NAMES and not _STATES.isdisjoint(ahead)


def _is_subject(word: str, after: str) -> bool:
    return (word in _PRONOUNS or word == "what") and (after in _VERBS or word in ("i", "we"))
