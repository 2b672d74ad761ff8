"""What was, not what is: "the table was walnut", "I bit into a quince", "it tasted of tin".

All of it English, and by the words of one clause.
"""

from collections.abc import Sequence

FAR = 10
"""Most words between a verb of the past and the flavour that it tells of."""

_PAST = frozenset(
    {
        "was", "were", "wasn't", "weren't", "had", "wore", "sold", "ate", "drank", "thought",
        "said", "asked", "gave", "stood", "sat", "went", "took", "told", "bought", "saw", "heard",
        "knew", "lived", "worked", "lay", "ran", "fell", "burned", "burnt", "became", "looked",
        "left", "carried", "kept", "planted", "finished", "grew", "spilled", "spilt", "cried",
        "learned", "learnt", "played", "walked", "swam", "wrote", "read", "died", "paid", "drove",
        "lost", "threw", "broke", "hung", "slept", "woke", "built", "sang", "wanted", "used",
    }
)  # fmt: skip
_NOW = frozenset(
    {
        "is", "it's", "there's", "that's", "you", "you'll", "you've", "now", "here", "today",
        "tonight", "brings", "gives", "comes", "this", "has", "i've",
    }
)  # fmt: skip
"""Behind one of these the talk is back at the glass."""

_TASTED = frozenset({"tasted", "smelled", "smelt", "reeked", "stank"})
_TELLERS = frozenset({"i", "you", "we", "judges", "i've", "you've", "we've"})


_OTHERS = frozenset({"most", "other", "many", "bad", "cheap", "ordinary"})


def is_past(clause: Sequence[str], first: int) -> bool:
    """Whether the word at `first` of a clause is told of what was.

    >>> is_past("the table was walnut".split(), 3), is_past("it is walnut".split(), 2)
    (True, False)
    """
    for at in range(first - 1, max(0, first - FAR) - 1, -1):
        if clause[at] in _NOW or clause[at - 1 : at] == ["you"]:
            return False
        if clause[at] == "time" and clause[at - 1 : at] == ["last"]:
            return True
        if clause[at] in _PAST or (clause[at] == "bit" and clause[at - 1 : at] == ["i"]):
            return True
    return False


def had_a_taste(clause: Sequence[str], first: int, end: int) -> bool:
    """ "school beetroot tasted of tin": a thing that once tasted of something.

    >>> had_a_taste("the church smelled of wax".split(), 4, 5)
    True
    """
    if _TASTED.isdisjoint(clause):
        return False
    at = next(at for at, word in enumerate(clause) if word in _TASTED)
    if not _TELLERS.isdisjoint(clause[max(0, at - 2) : at]):
        return False
    return end <= at or (first > at and not _NOW & set(clause[at:first]))


def is_of_others(clause: Sequence[str], first: int) -> bool:
    """ "most coffee tastes of smoke", "a bad quince tastes like wool": what others are like.

    >>> is_of_others("most coffee tastes of smoke".split(), 4)
    True
    >>> is_of_others("most of it tastes of smoke".split(), 5)
    False
    """
    if _OTHERS.isdisjoint(clause[:2]):
        return False
    begins = list(clause[:3])
    if begins[0] in _OTHERS:
        begins = ["", *begins]
    if begins[0] not in ("", "a", "an", "the") or begins[2:3] == ["of"]:
        return False
    return _NOW.isdisjoint(clause[:first]) or "is" in clause[1:4]
