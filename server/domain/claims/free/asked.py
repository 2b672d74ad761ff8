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
        head = next((n for n in range(begin + 1, at + 1) if set(tokens[n].gap) & set("?:")), None)
        if head is not None and ("?" in tokens[at].gap or ":" in tokens[head].gap):
            return _asks([token.norm for token in tokens[begin : min(head, at)]])
        if at - begin > LONGEST_ANSWER:
            return False
        at = begin
    return False


def follows_what_lacks(tokens: Sequence[Token], first: int, at: int) -> bool:
    """The same behind a colon within the sentence: "What's not in it: dairy."."""
    head = next((n for n in range(at, first, -1) if ":" in tokens[n].gap), None)
    return head == at and _asks([token.norm for token in tokens[first:head]])


_ASKS = frozenset(["is", "are", "does", "do", "can", "could", "did", "will", "has"])
_CONDITIONS = frozenset(["if", "unless", "whether", "wenn", "si", "se", "falls"])
_AVOIDS = frozenset({"avoid", "avoiding", "allergic", "skip", "skipping", "missing"})
_WELCOMES = frozenset({"safe", "fine", "okay", "ok", "good", "relax", "welcome", "lucky"})
_CHEERS = _WELCOMES | {"all"}


def is_offered(tokens: Sequence[Token], span: tuple[int, int], end: int) -> bool:
    """ "If it's dairy you're avoiding, then you're safe": who avoids it is told to drink."""
    behind = [token.norm for token in tokens[end : span[1]]]
    avoids = behind[:1] in (["you're"], ["you"]) and not _AVOIDS.isdisjoint(behind[1:3])
    denied = any(word.endswith("n't") or word in ("not", "never", "no") for word in behind)
    if avoids and not denied and not _WELCOMES.isdisjoint(behind[2:]):
        return True
    return not denied and _is_let_off(tokens, span, end, behind)


def _is_let_off(
    tokens: Sequence[Token], span: tuple[int, int], end: int, behind: Sequence[str]
) -> bool:
    """ "If you can't have egg or gluten, you're all right": the same of who must not have it."""
    before = [token.norm for token in tokens[max(span[0], end - 7) : end]]
    must_not = any(
        before[at : at + 2] == ["if", "you"] and before[at + 2] in _CANNOT
        for at in range(len(before) - 2)
    )
    told = next((at for at in range(len(behind[:4])) if behind[at] == "you're"), None)
    if not must_not or told is None or _CHEERS.isdisjoint(behind[told + 1 : told + 2]):
        return False
    return behind[told + 1] != "all" or behind[told + 2 : told + 3] == ["right"]


_CANNOT = frozenset({"can't", "cannot", "mustn't", "don't", "won't"})


_AFFIRMS = (("it", "is"), ("yes",), ("they", "are"), ("absolutely",), ("of", "course"))


def _is_affirmed(tokens: Sequence[Token], end: int) -> bool:
    """Whether a question that ends at a place is answered with yes: "Is it vegan? It is."."""
    said = tuple(token.norm for token in tokens[end : end + 2])
    return any(said[: len(words)] == words for words in _AFFIRMS)


def is_hypothetical(tokens: Sequence[Token], span: tuple[int, int], first: int, end: int) -> bool:
    """ "if you want it dairy-free": a condition claims nothing, nor does a question by itself."""
    if _is_affirmed(tokens, end) or is_offered(tokens, span, end):
        return False
    asks = span[1] < len(tokens) and "?" in tokens[span[1]].gap
    asks = asks or tokens[span[0]].norm in _ASKS
    if asks:
        return not _is_answered_none(tokens, span)
    return any(
        tokens[at].norm in _CONDITIONS
        and not (at > span[0] and tokens[at - 1].norm == "even")
        and not _is_past_condition(tokens, at, first)
        for at in range(span[0], first)
    )


def _is_answered_none(tokens: Sequence[Token], span: tuple[int, int]) -> bool:
    """ "Does it have alcohol? None."."""
    at = span[1]
    return at < len(tokens) and "?" in tokens[at].gap and tokens[at].norm in ("none", "nope")


_MAIN = frozenset(
    {
        "there", "there's", "it", "it's", "this", "i", "i've", "we", "you", "you'll", "you're",
        "tell", "please", "relax", "then", "don't", "for",
    }
)  # fmt: skip


def _is_past_condition(tokens: Sequence[Token], at: int, first: int) -> bool:
    """ "If you avoid milk, tell me; there are no nuts": what stands behind the condition holds."""
    return any(
        ";" in tokens[n].gap or ("," in tokens[n].gap and tokens[n].norm in _MAIN)
        for n in range(at + 1, first + 1)
    )


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
