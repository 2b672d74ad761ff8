"""How a number is hedged: "about", "at most", "no longer than", "or more".

>>> from server.domain.base.languages import supported
>>> from server.domain.base.tokens import tokens_of
>>> tokens = tokens_of("no longer than three minutes")
>>> bound_of(tokens, 3, 5, supported("en"))
'under'
"""

from collections.abc import Mapping, Sequence
from functools import cache

from server.domain.base.languages import Bound, Language, supported
from server.domain.base.tokens import Token

LONGEST = 4
"""Most words of a phrase that hedges."""

REACH = 4
"""Most words between "not" and its comparative: "don't let it get any hotter than"."""

_FILLERS = ("a", "an", "the", "of", "good", "than", "um", "uh")


def bound_of(tokens: Sequence[Token], first: int, end: int, lang: Language) -> Bound:
    """How the number over the tokens `first` to `end` (its unit included) is hedged."""
    return _before(tokens, first, lang) or _behind(tokens, end, lang) or "exactly"


def is_spread(tokens: Sequence[Token], first: int, kind: str) -> bool:
    """Whether "over" before a number tells what something is spread over, and is no bound: "two
    hundred over four glasses", "in three pours over three minutes".
    """
    if tokens[first - 1].norm != "over" or tokens[first].gap.strip("-"):
        return False
    if kind != "time":
        return kind == "serves"
    begins = first < 2 or bool(tokens[first - 1].gap.strip("-"))
    return begins or tokens[first - 2].norm not in _LEADS_OVER


_LEADS_OVER = frozenset(
    {
        "for", "well", "just", "bit", "little", "slightly", "takes", "took", "take", "at", "than",
        "be", "is", "it's", "of", "to", "not", "never", "in", "rest", "rests", "go", "any", "way",
        "shake", "stir", "steep", "anything", "nothing", "until", "goes", "runs", "left",
    }
)  # fmt: skip


def ends_phrase(tokens: Sequence[Token], at: int, lang: Language) -> bool:
    """Whether a hedging phrase of two words or more ends at a token: "plus ou moins"."""
    return tokens[at].norm in _edges(lang.code, "about") and any(
        _phrase(tokens, at, length) in _phrases(lang.code, "about")
        for length in range(2, LONGEST + 1)
    )


def _before(tokens: Sequence[Token], first: int, lang: Language) -> Bound | None:
    at = first - 1
    for _ in range(3):
        if at < 0 or tokens[at + 1].gap.strip("-"):
            return None
        found = _hedge(tokens, at, lang) or _comparison(tokens, at, lang)
        if found is not None:
            return found
        if tokens[at].norm not in _FILLERS and tokens[at].norm not in lang.articles:
            return None
        at -= 1
    return None


def _hedge(tokens: Sequence[Token], at: int, lang: Language) -> Bound | None:
    if tokens[at].norm not in _edges(lang.code, "about"):
        return None
    known = _phrases(lang.code, "about")
    for length in range(LONGEST, 0, -1):
        found = known.get(_phrase(tokens, at, length) or "")
        if found is not None:
            return _flipped(found, tokens, at - length, lang)
    return None


def _comparison(tokens: Sequence[Token], at: int, lang: Language) -> Bound | None:
    """ "more than", "no longer than": a comparative before "than", and what denies it."""
    than = at
    if tokens[at].norm not in lang.compared.get("than", ()) or at == 0:
        return None
    at -= 1
    if tokens[than].gap:
        return None
    bound: Bound | None = None
    if tokens[at].norm in lang.compared["more"]:
        bound = "over"
    elif tokens[at].norm in lang.compared["less"]:
        bound = "under"
    return bound and _flipped(bound, tokens, at - 1, lang)


def _flipped(bound: Bound, tokens: Sequence[Token], at: int, lang: Language) -> Bound:
    """The other side where the bound itself is denied: "not above", "no more than"."""
    if bound == "about":
        return bound
    for steps in range(REACH):
        place = at - steps
        if place < 0 or tokens[place + 1].gap.strip("-"):
            return bound
        word = tokens[place].norm
        if word in lang.negators or word.endswith("n't"):
            return "under" if bound == "over" else "over"
    return bound


def _behind(tokens: Sequence[Token], end: int, lang: Language) -> Bound | None:
    if end >= len(tokens) or tokens[end].norm not in _edges(lang.code, "behind"):
        return None
    known = _phrases(lang.code, "behind")
    for length in range(LONGEST, 0, -1):
        piece = tokens[end : end + length]
        if len(piece) == length and not any(token.gap.strip("-,") for token in piece):
            found = known.get(" ".join(token.norm for token in piece))
            # "three minutes at least of rest" bounds; "plus" and the like only at the end of it.
            if found is not None and _stops(tokens, end + length):
                return found
    return None


def _stops(tokens: Sequence[Token], at: int) -> bool:
    return at >= len(tokens) or bool(tokens[at].gap) or tokens[at].norm in _GO_ON


_GO_ON = frozenset({"and", "of", "in", "to", "with", "before", "on", "without"})


def _phrase(tokens: Sequence[Token], at: int, length: int) -> str | None:
    """The words that end at `at`; None where they are parted or too few."""
    first = at - length + 1
    if first < 0 or any(token.gap.strip("-") for token in tokens[first + 1 : at + 1]):
        return None
    return " ".join(token.norm for token in tokens[first : at + 1])


@cache
def _phrases(code: str, where: str) -> Mapping[str | None, Bound]:
    lang = supported(code)
    tables = lang.about if where == "about" else lang.behind
    return {phrase: bound for bound, phrases in tables.items() for phrase in phrases}


@cache
def _edges(code: str, where: str) -> frozenset[str]:
    """The words of hedges that stand at the number: the last before it, the first behind it."""
    side = -1 if where == "about" else 0
    return frozenset(phrase.split()[side] for phrase in _phrases(code, where) if phrase)
