"""Numbers without a unit that a brew of the drink tells: "from twenty to eighty", "steeped eight",
"five grams to a hundred".

What is dosed and what it is brewed with stand beside each other; a time or a warmth of the water
is told by what is done. What differs from the recipe is left to rules that read a unit from the
words around it. English.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from server.domain.base.tokens import Token
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bare import (
    Bare,
    begins_at,
    counted_in,
    ends,
    norms,
    words_before,
)
from server.domain.claims.spoken.in_parts import ratio
from server.domain.claims.spoken.small_words import unhedged
from server.domain.claims.spoken.time_acts import act_of
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink, Ingredient

_FARTHEST = 7
"""Most tokens between a dose and what it is brewed with."""

_BREWING = frozenset({"brew", "steep", "filter"})
_IN_SO_LONG = frozenset({"in", "for", "runs", "takes", "after", "about", "around", "steeped"})
_HOLDERS = frozenset({"basket", "portafilter", "dripper", "cone", "filter", "brewer", "press"})
_CUPS = frozenset({"cup", "cups", "glass", "jug", "beaker", "server", "carafe"})
_INTO = frozenset({"in", "into"})


def bare_brews(bare: Bare, drinks: Sequence[Drink]) -> list[Quantity]:
    """The bare numbers of a sentence that a brew gives a unit, in order."""
    parts = [part for drink in drinks for part in drink.ingredients if part.brew is not None]
    if bare.lang.code != "en" or not parts:
        return []
    found = {one.first: one for one in _through_a_holder(bare)}
    for one in _dose_and_water(bare, parts):
        found.setdefault(one.first, one)
    for number in bare.numbers:
        for part in parts:
            told = _time(bare, number, _brew(part)) or _warmth(bare, number, _brew(part))
            if told is not None:
                found.setdefault(number.first, told)
    return [found[first] for first in sorted(found)]


def _brew(part: Ingredient) -> Brew:
    return part.brew or Brew()


def _through_a_holder(bare: Bare) -> Iterator[Quantity]:
    """ "Eighteen into the basket, thirty-six into the cup"."""
    is_dosed = False
    for number in bare.numbers:
        behind = norms(bare, number.end, 3)
        if behind[:1] == [] or behind[0] not in _INTO:
            continue
        is_dose = not _HOLDERS.isdisjoint(behind)
        if is_dose or (is_dosed and not _CUPS.isdisjoint(behind)):
            is_dosed = True
            yield counted_in(bare, number, "amount", number.value, "g")


def _dose_and_water(bare: Bare, parts: Iterable[Ingredient]) -> Iterator[Quantity]:
    """ "From twenty to eighty", "thirty of coffee on five hundred of water"."""
    for part in parts:
        brew = _brew(part)
        others = {mass for mass in (brew.water_g, brew.beverage_g) if mass is not None}
        for left, right in pairwise(bare.numbers):
            is_pair = brew.dose_g in _values(left) and not others.isdisjoint(_values(right))
            if is_pair and right.first - left.end <= _FARTHEST and _is_of(bare, part, left, right):
                masses = others & _values(right)
                yield counted_in(bare, left, "amount", brew.dose_g or 0.0, "g")
                yield counted_in(bare, right, "amount", min(masses), "g")


def _values(number: SaidNumber) -> set[float]:
    return {number.value, *number.also}


def _is_of(bare: Bare, part: Ingredient, left: SaidNumber, right: SaidNumber) -> bool:
    """Whether nothing else is named from one number to behind the other."""
    near = [one for one in bare.mentions if left.first <= one.first <= right.end + 1]
    return all(
        part.id in one.ingredient_ids
        or not one.ingredient_ids
        or [token.norm for token in bare.tokens[one.first : one.end]] == ["water"]
        for one in near
    )


def _time(bare: Bare, number: SaidNumber, brew: Brew) -> Quantity | None:
    """ "The shot runs twenty-eight", "steeped for four", "in twenty-eight" behind a dose."""
    seconds = brew.time_s
    units = (1.0,) if seconds is not None and seconds < _LONGEST_S else (60.0, 3600.0)
    unit = next((one for one in units if seconds == number.value * one), None)
    if unit is None or not ends(bare, number):
        return None
    begin = begins_at(bare, number)
    before = [token.norm for token in bare.tokens[begin : number.first]]
    ahead = unhedged(words_before(bare, number.first, 4))
    is_told = ahead[-1:] != [] and ahead[-1] in _IN_SO_LONG
    if norms(bare, number.end, 3) == ["on", "the", "clock"]:
        return counted_in(bare, number, "time", number.value * unit, "s")
    is_weighed = any(one.unit == "g" for one in bare.quantities)
    if not is_told or (ahead[-1] == "in" and norms(bare, number.end, 1) != []):
        return None
    if act_of(before, ()) not in _BREWING and not is_weighed:
        return None
    return counted_in(bare, number, "time", number.value * unit, "s")


_LONGEST_S = 120


def _warmth(bare: Bare, number: SaidNumber, brew: Brew) -> Quantity | None:
    """ "I brew it at ninety-four", "the kettle is set to ninety-four"."""
    ahead = unhedged(words_before(bare, number.first, 3))
    is_told = ahead[-1:] != [] and ahead[-1] in ("at", "to", "is", "says")
    if brew.water_c != number.value or not is_told or not ends(bare, number):
        return None
    return counted_in(bare, number, "temperature", number.value, "C")


_PER = frozenset({"to", "per", "on", "for", "in"})
_HUNDREDS = frozenset({100.0, 1000.0})


def per_hundred(
    tokens: Sequence[Token], numbers: Sequence[SaidNumber], found: Sequence[Quantity]
) -> list[Quantity]:
    """ "Five grams to a hundred", "six to a hundred": how much on so much water, as a ratio."""
    weighed = [(one.first, one.end, one.low) for one in found if one.unit == "g"]
    weighed += [(one.first, one.end, one.value) for one in numbers if one.value < _MOST_PER]
    told = [(one.first, one.end, one.value) for one in numbers if one.value in _HUNDREDS]
    told += [
        (one.first, one.end, one.low)
        for one in found
        if one.unit in ("g", "ml") and one.low in _HUNDREDS
    ]
    ratios = []
    for first, end, mass in weighed:
        for at, until, water in told:
            between = [token.norm for token in tokens[end:at]]
            if between[:1] != [] and between[0] in _PER and between[1:] in ([], ["every"]):
                is_wordy = tokens[at].norm in ("a", "one", "hundred") or tokens[at].is_number
                if is_wordy and 0 < mass < water:
                    ratios.append(ratio(first, until, mass, water))
    return ratios


_MOST_PER = 50.0
