"""Flavours of another drink, place or time: of what was tried, of what people say, of the air.

All of it English, and by the words of one sentence.
"""

from collections.abc import Sequence

PEOPLE = frozenset({"people", "most", "many", "mothers"})
"""A sentence that begins with one of these tells of others, unless it comes back to the glass."""

SOME = frozenset({"most", "many"})
OTHERS = frozenset(
    {
        "people", "recipes", "coffees", "bars", "guests", "bartenders", "baristas", "books",
        "drinks", "cocktails", "judges", "folks", "friends", "cooks", "menus",
    }
)  # fmt: skip

OF_THE_GLASS = frozenset(
    {
        "you",
        "you'll",
        "this",
        "here",
        "drink",
        "glass",
        "cup",
        "sip",
        "judges",
        "inside",
        "find",
        "notice",
        "detect",
        "get",
        "pick",
        "perceive",
    }
)
IN_IT = (
    ("in", "it"),
    ("of", "it"),
    ("find", "it"),
    ("to", "it"),
    ("it", "tastes"),
    ("it", "smells"),
)

PLACES = frozenset(
    {
        "air", "street", "streets", "oven", "kitchen", "garden", "house", "wind", "village",
        "harbour", "room", "market", "fields", "woods", "hills", "sky", "yard", "distance",
    }
)  # fmt: skip

WORN = frozenset({"hands", "fingers", "clothes", "shirt", "apron", "hair", "bar", "van", "car"})

TRIED = frozenset({"tried", "attempted", "experimented"})
VERSIONS = frozenset({"version", "versions", "attempt", "attempts", "try", "draft", "drafts"})
MAYBE = (("could", "have", "been"), ("can", "be"), ("might", "have", "been"))
SMELLED = frozenset({"smelled", "smelt"})

THINK = frozenset({"think", "thinks", "believe", "believes", "assume", "expect", "expects"})

BRINGS = frozenset({"brings", "brought", "bring", "sends", "sent", "sold", "sells", "handed"})

NEAR = 5
"""Words before a flavour in which it is told that it was smelled."""


def is_elsewhere(sentence: Sequence[str], first: int, end: int, *, is_listed: bool = False) -> bool:
    """Whether the words from `first` to `end` of a sentence are said of another thing.

    A scene that has what stands on the drink's own list (`is_listed`) leads to the drink.

    >>> said = "the harbour smelled of smoke".split()
    >>> is_elsewhere(said, 4, 5), is_elsewhere("it smells of smoke".split(), 3, 4)
    (True, False)
    """
    before, near = sentence[:first], sentence[max(0, first - NEAR) : first]
    said = set(near)
    return (
        (not is_listed and _is_of_people(sentence))
        or (not is_listed and _is_scene(sentence, first, end))
        or (not is_listed and not said.isdisjoint(THINK) and _is_opinion(near))
        or ("with" in said and not said.isdisjoint(TRIED))
        or (bool(VERSIONS & set(before)) and bool({"was", "were"} & set(before)))
        or _is_past_excess(before)
        or _is_given_to_me(before)
        or _is_maybe(before)
        or _has(before, ("would", "expect"))
        or (not is_listed and _is_as_a_rule(sentence))
        or _is_served_beside(near)
        or bool({"smell", "smells"} & said and WORN & said)
    )


def _is_maybe(before: Sequence[str]) -> bool:
    if _MAYBE_BEGIN.isdisjoint(before):
        return False
    return any(_has(before[-len(phrase) - 1 :], phrase) for phrase in MAYBE)


_MAYBE_BEGIN = frozenset(phrase[0] for phrase in MAYBE)


def _is_of_people(sentence: Sequence[str]) -> bool:
    if not sentence or sentence[0] not in PEOPLE:
        return False
    # "Many plums." is a quantity; "most recipes" are others. "Some people" may be here.
    if sentence[0] in SOME and not set(sentence[1:2]) & OTHERS:
        return False
    comes_back = OF_THE_GLASS & set(sentence) or any(_has(sentence, pair) for pair in IN_IT)
    return not comes_back and len(sentence) > 3


def _is_opinion(near: Sequence[str]) -> bool:
    """ "people think all of it is smoky": what others believe of its kind."""
    return any(
        word in THINK and near[at - 1] in ("people", "everyone", "everybody", "they")
        for at, word in enumerate(near)
        if at
    )


def _is_scene(sentence: Sequence[str], first: int, end: int) -> bool:
    """ "the harbour smelled of tar", "honey in the air", "bread from the oven"."""
    near = set(sentence[max(0, first - NEAR) : first])
    if SMELLED & near and not {"i", "you", "we"} & near:
        return True
    behind = list(sentence[end : end + 3])
    is_there = behind[:2] in (["in", "the"], ["from", "the"], ["into", "the"], ["over", "the"])
    return is_there and behind[2:] != [] and behind[2] in PLACES


def _is_as_a_rule(sentence: Sequence[str]) -> bool:
    """ "Usually a sour is sharp": what others are like."""
    return sentence[0] in ("usually", "normally", "traditionally", "generally", "often") and not (
        OF_THE_GLASS & set(sentence[:6])
    )


def _is_served_beside(near: Sequence[str]) -> bool:
    """ "goes well with chocolate", "eat it with smoked fish": food, beside the drink."""
    if "with" not in near:
        return False
    return "eat" in near or ("well" in near and bool({"goes", "pairs", "works"} & set(near)))


def _is_past_excess(before: Sequence[str]) -> bool:
    """ "that was too bitter": of what did not stay."""
    return before[-1:] == ["too"] and bool({"was", "were"} & set(before[-4:]))


def _is_given_to_me(before: Sequence[str]) -> bool:
    """ "a woman who brings me quinces": a thing, in somebody's hands."""
    near = list(before[-5:])
    return not BRINGS.isdisjoint(near) and any(
        word in BRINGS
        and near[at + 1 : at + 2] != []
        and near[at + 1] in ("me", "us", "him", "her")
        for at, word in enumerate(near)
    )


def _has(words: Sequence[str], phrase: tuple[str, ...]) -> bool:
    if phrase[0] not in words:
        return False
    size = len(phrase)
    return any(tuple(words[at : at + size]) == phrase for at in range(len(words) - size + 1))
