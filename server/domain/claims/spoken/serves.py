"""How many drinks are made, where no word for them stands at the number: "I'm making two".

A listener who sees the glasses understands it: a number that is what the recipe makes, behind a
word of making, or told by itself. English.
"""

from collections.abc import Collection, Sequence

from server.domain.base.tokens import Token, places_of
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bare import unparted_before, unparted_from

_MADE = frozenset(
    {
        "make", "makes", "making", "made", "pour", "pours", "poured", "pouring", "serve", "serves",
        "serving", "served", "do", "doing", "build", "building",
    }
)  # fmt: skip
_OF_THEM = frozenset({"them", "these", "those"})
_DRINKS = frozenset(
    {"drink", "drinks", "enough", "recipe", "composition", "batch", "serve", "it", "poured", "made"}
)
_GOES_ON = frozenset(
    {
        "out", "and", "so", "because", "to", "for", "which", "it's", "that's", "from", "today",
        "please", "tonight", "here", "in", "since", "but", "i", "we", "the", "as", "one", "there",
        "at",
    }
)  # fmt: skip
"""Words that may follow the number at once; another would be what it counts."""

_WE = frozenset({"we", "it's", "i", "you", "that's", "it", "we'll", "i'll"})
_SEEN = frozenset(
    {"cups", "glasses", "coupes", "mugs", "highballs", "bowls", "make", "made", "pour", "serve"}
)
_EACH = frozenset({"each", "per", "a", "apiece", "to", "for", "on", "in", "more", "times"})


def serves_in(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
    made: Collection[int],
) -> list[Quantity]:
    """The serves that a sentence (first token, end) tells without a word for them, in order.

    `made` are how many drinks the recipes make.
    """
    busy = places_of(found)
    told = []
    for number in numbers:
        if number.first in busy or number.value != int(number.value) or not 1 < number.value < 100:
            continue
        end = _told(tokens, span, number, made, found)
        if end is not None:
            told.append(Quantity("serves", number.first, end, number.value, number.value, "serve"))
    return told


def _told(
    tokens: Sequence[Token],
    span: tuple[int, int],
    number: SaidNumber,
    made: Collection[int],
    found: Sequence[Quantity],
) -> int | None:
    """Where the serves end that a number tells; None where it tells none."""
    before = unparted_before(tokens, span[0], number.first, 2)
    after = unparted_from(tokens, number.end, span[1], 3)
    is_made = bool(before) and before[-1] in _MADE
    if after[:1] == ["of"] and after[1:2] and after[1] in _OF_THEM:
        begins = not before and number.value in made
        is_all = not after[2:] or after[2] in _GOES_ON
        return (
            number.end + 2 if is_all and (is_made or begins or before[-1:] == ["that's"]) else None
        )
    if number.value in made and _is_of_this(before, after):
        return number.end
    names = tokens[number.first - 1].norm if number.first > span[0] else ""
    if tokens[number.first].gap == ":" and names in _NAMED:
        # "Number of serves: two."
        return number.end
    if after[:1] == ["for"] and is_made:
        # "I am making five for the panel."; "it makes ten for one cup" is an amount.
        return None if after[1:2] in (["one"], ["each"], ["a"], ["every"]) else number.end
    if before[-2:] in (["enough", "for"], ["drinks", "for"], ["recipe", "for"]) and not after:
        return number.end
    if number.value not in made:
        return None
    return number.end if _is_of_recipe(tokens, span, number, before, after, found) else None


def _is_of_this(before: Sequence[str], after: Sequence[str]) -> bool:
    """ "Lattice Window, three of it", "eighty in each of three", "for four visitors", "out of that
    we get four".
    """
    if before[-2:] == ["each", "of"]:
        return not after or after[0] in _WHO
    if after[:1] != [] and after[0] in _WHO:
        return before[-1:] == ["for"]
    if after[:2] == ["of", "it"]:
        return (not before or before[-1] == "there's") and len(after) == 2
    return before[-2:] in (["we", "get"], ["i", "get"]) and not after


_NAMED = frozenset({"serves", "servings", "portions"})
_WHO = frozenset({"visitors", "passengers", "travellers"})


def _is_of_recipe(
    tokens: Sequence[Token],
    span: tuple[int, int],
    number: SaidNumber,
    before: Sequence[str],
    after: Sequence[str],
    found: Sequence[Quantity],
) -> bool:
    goes_on = not after or after[0] in _GOES_ON
    if before and before[-1] in _MADE:
        return goes_on
    if before[-1:] == ["that's"] and not after:
        measures = any(each.kind == "amount" and each.end <= number.first for each in found)
        ahead = unparted_from(tokens, number.end + 1, len(tokens), 3)
        return not measures and not (ahead and ahead[0] in _EACH)
    if before[-1:] == ["for"]:
        opens = len(before) == 1 and bool(after) and after[0] in _WE
        return opens or (len(before) == 2 and before[0] in _DRINKS and goes_on)
    if before[-2:] == ["batch", "of"]:
        return True
    return not before and not after and _is_alone(tokens, number)


def _is_alone(tokens: Sequence[Token], number: SaidNumber) -> bool:
    """ "Into the cups. Two.", "How many did we make? Three.": a number by itself."""
    at = number.first
    if at < 2 or not set(tokens[at].gap) & set(".?!\n"):
        return False
    if number.end < len(tokens) and not set(tokens[number.end].gap) & set(".?!\n"):
        return False
    near = {token.norm for token in tokens[max(0, at - 5) : at]}
    return not near.isdisjoint(_SEEN)
