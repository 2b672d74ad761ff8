"""Denials that reach a word from afar: "without bitterness, smoke or burn", "nor is it sour",
"what you won't get is smoke", "you'd be hard pressed to find smoke", "refuses to be sweet".

All of it English, by the order of words and not by what they name.
"""

from collections.abc import Callable, Sequence

from server.domain.base.tokens import Token
from server.domain.claims.spoken.replies import ASKS, WHO, Told, is_parted, replied_at_length

_FILLERS = frozenset(
    ["any", "a", "an", "the", "of", "even", "too", "overly", "hint", "trace", "bit", "much"]
)
"""Small words between what joins a list and its next word."""

LONGEST_ITEM = 3
_SUPPOSING = ("if", "whether", "when", "unless", "why")

_REFUSES = frozenset(
    [
        "refuse", "refuses", "refused", "forgot", "forgets", "fails", "failed", "decline",
        "declines", "struggle", "struggles",
    ]
)  # fmt: skip
"""Before "to" these deny what follows."""

_BECOMES = frozenset(["be", "become", "turn", "go", "get", "it", "taste", "feel", "say"])

_IN_VAIN = frozenset(
    [
        "pressed", "challenge", "defy", "dare", "struggle", "impossible", "pushed", "difficult",
        "wrong",
    ]
)  # fmt: skip
"""Before "to find" these deny what is looked for."""

_STOPS = frozenset(["stops", "stop", "stopped", "stopping"])
_NOBODY = ("nobody", "nobody'll", "nobody's")
_SAYS = frozenset(
    [
        "say", "says", "call", "calls", "accuse", "accuses", "find", "finds", "taste", "tastes",
        "think", "thinks", "said", "called", "accused", "mistake", "mistakes", "describe",
    ]
)  # fmt: skip
_TURNED_ROUND = frozenset(["nor", "neither", "never", "once", "point", "nowhere"])
"""Before "does it" and the like these deny the whole of it."""

_BEGINS = _REFUSES | _IN_VAIN | _TURNED_ROUND | _STOPS | {*_NOBODY, "one"}

_MET = frozenset(
    [
        "get",
        "find",
        "taste",
        "have",
        "see",
        "be",
        "smell",
        "notice",
        "meet",
        "feel",
        "want",
        "isn't",
        "expect",
        "call",
    ]
)
"""What one does with a taste: "what you won't get is smoke"."""


def reached(
    tokens: Sequence[Token],
    first: int,
    end: int,
    sentence: int,
    before: Callable[[int], Told],
) -> Told | None:
    """What is said from afar of the words from `first` to `end`; None where nothing is.

    `before` tells how a word at a place is claimed by what stands before it.
    """
    return (
        replied_at_length(tokens, first, end, sentence)
        or _refused(tokens, first, sentence)
        or _set_against(tokens, end)
        or _cleft(tokens, first, sentence)
        or _listed(tokens, first, end, sentence, before)
    )


def _refused(tokens: Sequence[Token], first: int, sentence: int) -> Told | None:
    at, least = first, max(sentence, first - 10)
    while at > least and not is_parted(tokens[at]):
        at -= 1
    return "lacks" if is_refused([token.norm for token in tokens[at:first]]) else None


def is_refused(before: Sequence[str]) -> bool:
    """Whether the words before one, in its clause, keep the drink from being that.

    >>> is_refused("a coffee that forgot to be".split()), is_refused("it is".split())
    (True, False)
    >>> is_refused("nobody will accuse it of being".split()), is_refused("nor is it".split())
    (True, True)
    """
    if _BEGINS.isdisjoint(before):
        return False
    near = list(before)
    while near and near[-1] in _FILLERS:
        near.pop()
    for at, word in enumerate(near[:-1]):
        rest = near[at + 1 :]
        if word in _REFUSES and rest[0] == "to" and rest[-1] in _BECOMES and len(rest) <= 4:
            return True
        finds = rest[0] == "to" or rest[1:2] == ["to"]
        if word in _IN_VAIN and finds and rest[-1] in _MET and len(rest) <= 4:
            return True
        if word in _STOPS and (rest[-1] == "before" or rest[-2:] == ["short", "of"]):
            return True
        is_none = word in _NOBODY or (word == "one" and near[at - 1 : at] in (["no"], ["not"]))
        if is_none and not _SAYS.isdisjoint(rest):
            return True
        is_it = len(rest) >= 2 and rest[0] in ASKS and rest[1] in WHO and len(rest) <= 5
        if word in _TURNED_ROUND and is_it:
            return True
    return False


_HOLDING = (
    ("anything", "but"), ("everything", "but"), ("short", "of"), ("far", "from"), ("to", "say"),
    ("wouldn't", "say"), ("away", "from"), ("clear", "of"), ("across", "as"), ("you", "as"),
    ("be", "called"), ("from", "being"), ("don't", "do"), ("just", "before"),
)  # fmt: skip
_TIPS = frozenset(
    ["tips", "tip", "tipping", "tipped", "falls", "drifts", "veers", "strays", "slips", "crosses"]
)


def is_held_against(before: Sequence[str]) -> bool:
    """Whether the last words before an adjective hold it against the drink, as a verb would.

    >>> is_held_against("it is anything but".split()), is_held_against("tips over into".split())
    (True, True)
    """
    if tuple(before[-2:]) in _HOLDING:
        return True
    return before[-1:] == ["into"] and not _TIPS.isdisjoint(before[-4:])


def _set_against(tokens: Sequence[Token], end: int) -> Told | None:
    """ "Not a smoky drink so much as a sour one."."""
    if all(token.norm != "much" for token in tokens[end : end + 5]):
        return None
    words: list[str] = []
    while end < len(tokens) and len(words) < 5 and not is_parted(tokens[end]):
        words.append(tokens[end].norm)
        end += 1
    is_so = any(words[at : at + 3] == ["so", "much", "as"] for at in range(len(words)))
    return "some" if is_so else None


def _cleft(tokens: Sequence[Token], first: int, sentence: int) -> Told | None:
    """ "What you won't get is smoke", "the last thing you'll find is sugar"."""
    at = first - 1
    while at > sentence and tokens[at].norm in _FILLERS and not is_parted(tokens[at + 1]):
        at -= 1
    if at <= sentence or tokens[at].norm != "is" or is_parted(tokens[at + 1]):
        return None
    if tokens[at - 1].norm not in _MET:
        return None
    words: list[str] = []
    while at > sentence and len(words) < 7 and not is_parted(tokens[at]):
        at -= 1
        words.insert(0, tokens[at].norm)
        if tokens[at].norm in ("what", "thing"):
            denies = any(one in ("not", "never") or one.endswith("n't") for one in words)
            is_last = tokens[at].norm == "thing" and at and tokens[at - 1].norm == "last"
            return "lacks" if denies or is_last else None
    return None


def _listed(
    tokens: Sequence[Token],
    first: int,
    end: int,
    sentence: int,
    before: Callable[[int], Told],
) -> Told | None:
    """ "No bitterness, smoke or burn": a list with "or" shares the denial of its first word."""
    if tokens[sentence].norm in _SUPPOSING:
        return None
    near = tokens[max(sentence, first - 3) : end + 3 * LONGEST_ITEM]
    if _OR.isdisjoint([token.norm for token in near]):
        return None
    has_or, at = _is_joined_behind(tokens, end), first
    while True:
        while at > sentence and tokens[at - 1].norm in _FILLERS and not is_parted(tokens[at]):
            at -= 1
        joint = at > sentence and tokens[at - 1].norm in ("or", "nor")
        if joint:
            has_or, at = True, at - 1
        elif at <= sentence or tokens[at].gap.strip() != ",":
            return None
        if at <= sentence or not has_or:
            return None
        # The word before the joint: denied by itself, or one more of the list.
        told = before(at - 1)
        if told != "has":
            return told
        item = at - 1
        while item > sentence and at - item < LONGEST_ITEM and not is_parted(tokens[item]):
            if tokens[item - 1].norm in ("or", "nor", *_FILLERS):
                break
            item -= 1
        at = item


_OR = frozenset({"or", "nor"})


def _is_joined_behind(tokens: Sequence[Token], end: int) -> bool:
    """Whether "or" follows within the list that a word stands in."""
    run = 0
    for token in tokens[end : end + 3 * LONGEST_ITEM]:
        if token.norm in ("or", "nor"):
            return token.gap.strip() in ("", ",")
        run = 1 if token.gap.strip() == "," else run + 1
        if token.gap.strip("-") not in ("", ",") or run > LONGEST_ITEM:
            return False
        if run == 1 and token.gap.strip() != ",":
            return False
    return False
