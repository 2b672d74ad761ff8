"""A spoken amount against the recipe's.

A recipe holds the amount for all serves together; a presenter may say that or what goes into one
glass, so either counts. Volumes are compared in ml; a spoken ounce may also be
the rounded 30 ml (NIST SP 430 rounds the fluid ounce of labels to 30 ml). Dashes, barspoons and
drops have no exact size: against ml they are the range of common practice.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from server.domain.base.amounts import (
    BAR_MEASURES_ML,
    COUNTED_UNITS,
    MASS_UNITS,
    VOLUME_UNITS,
    Amount,
    unit_words,
)
from server.domain.base.numbers import figure_words
from server.domain.claims.backing import Backing, Judgement
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.spoken.share import Share
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.tolerance import USUAL, Tolerance

ROUNDED_OUNCE_ML = 30.0

_COUNTED = (*BAR_MEASURES_ML, *COUNTED_UNITS)

SOUNDS_LIKE = {13: 30, 14: 40, 15: 50, 16: 60, 17: 70, 18: 80, 19: 90}
"""Pairs of English numbers that are misheard for one another."""

Reading = tuple[str, float, float]
"""What an amount measures ("volume", "mass", or its own unit), and from how much to how much."""


@dataclass(frozen=True)
class _Part:
    drink: Drink
    ingredient: Ingredient


EXACTLY = "a count may not be off"
"""What is said of a count that differs."""


def amount_judged(
    find: Find,
    drinks: Sequence[Drink],
    ingredient_ids: Sequence[str],
    tolerance: Tolerance = USUAL,
    facts: Sequence[GlassFacts] = (),
    share: Share = "",
) -> Judgement:
    """The state of a spoken amount of one of these ingredients (of any, where none was named).

    `share` tells whether its words make it one glass's or that of all.

    With no ingredient beside it, it may also be the volume of a serve or of all, from `facts`.
    """
    every = [(drink, part) for drink in drinks for part in drink.ingredients]
    named = [_Part(*one) for one in every if one[1].id in ingredient_ids]
    parts = named or [_Part(*one) for one in every]
    said = said_amount(find)
    if find.unit == "part" and not any(p.ingredient.amount.unit == "part" for p in parts):
        why = f"You say {said}; the recipe is not in parts."
        return Judgement("unbacked", why, is_checked=False)
    results = [(part, _fit(find, part, tolerance, share)) for part in parts]
    fitting = [(part, how) for part, how in results if how]
    if fitting:
        part, how = fitting[0]
        why = f"You say {said}; {how}{_margin(find, part, tolerance)}."
        return Judgement("backed", why, (_backing(part),))
    if not named and (filled := volume_judged(find, facts, tolerance)):
        return filled
    if not named:
        why = f"You say {said} with no ingredient beside it, and no amount of the recipe is that."
        return Judgement("unbacked", why, is_checked=False)
    return _differs(find, said, named, tolerance)


def volume_judged(
    find: Find, facts: Sequence[GlassFacts], tolerance: Tolerance
) -> Judgement | None:
    """An amount that is the volume of a serve or of all; None where no known one is met."""
    volume = _volume_met(find, facts, tolerance)
    if volume is None:
        return None
    ratio = tolerance.about_ratio if find.bound == "about" else tolerance.amount_ratio
    filled, off = f"{volume.low:.0f} to {volume.high:.0f} ml", f"within {ratio * 100:g} %"
    if volume.is_bound:
        filled, off = f"at least {volume.low:.0f} ml", "no less than that"
    why = f"You say {said_amount(find)}; computed {filled} {volume.label}, {off}."
    return Judgement("backed", why)


def _volume_met(
    find: Find, facts: Sequence[GlassFacts], tolerance: Tolerance
) -> KnownNumber | None:
    """The computed volume that a spoken one agrees with."""
    known = [n for fact in facts for n in fact.numbers if n.kind == "amount" and not n.unit]
    said = _readings(find.low or 0.0, find.high or 0.0, find.unit)
    for number in known:
        held = ("volume", number.low, number.high)
        if number.is_bound and not (find.bound == "over" and _is_beyond(said, number)):
            continue
        if any(each[0] == "volume" and _meets(find, each, held, tolerance) for each in said):
            return number
    return None


def _is_beyond(said: Sequence[Reading], number: KnownNumber) -> bool:
    """Whether the least there is in a glass is itself no less than what is said."""
    return any(each[0] == "volume" and number.low >= each[1] for each in said)


def _differs(find: Find, said: str, named: Sequence[_Part], tolerance: Tolerance) -> Judgement:
    part = named[0]
    has = _written(part.ingredient.amount)
    comparable = [p for p in named if _is_comparable(find, p.ingredient.amount)]
    if not comparable:
        name = part.ingredient.name
        why = f"You say {said}, the recipe has {has} of {name}: these cannot be compared."
        return Judgement("unbacked", why, (_backing(part),), is_checked=False)
    part = comparable[0]
    held = f"{_recipe(part)} of {part.ingredient.name}"
    margin = _margin(find, part, tolerance)
    is_range = ", within" in margin
    off = f"{margin.replace(', within', ': more than')} off" if is_range else f": {EXACTLY}"
    why = f"You say {said}, the recipe has {held}{off}.{_misheard(find, part)}"
    return Judgement("contradicted", why, (_backing(part),))


def _margin(find: Find, part: _Part, tolerance: Tolerance) -> str:
    """The tolerance that was used, in words."""
    is_counted = part.ingredient.amount.unit in _COUNTED and find.bound != "about"
    ratio = tolerance.about_ratio if find.bound == "about" else tolerance.amount_ratio
    return ", counted exactly" if is_counted else f", within {ratio * 100:g} %"


def _recipe(part: _Part) -> str:
    amount, serves = part.ingredient.amount, part.drink.serves
    if serves == 1:
        return _written(amount)
    return f"{_written(amount)} ({_written(amount.shared(serves))} for each of {serves})"


def _misheard(find: Find, part: _Part) -> str:
    amount = part.ingredient.amount
    likely = {amount.value, amount.value / part.drink.serves}
    pairs = SOUNDS_LIKE | {high: low for low, high in SOUNDS_LIKE.items()}
    other = pairs.get(int(find.low or 0)) if find.unit == amount.unit else None
    return f" {other} sounds much like {find.low:g}: say it clearly." if other in likely else ""


def _fit(find: Find, part: _Part, tolerance: Tolerance, share: Share) -> str | None:
    """How the spoken amount fits the recipe's, in words; None where it does not."""
    name, serves = part.ingredient.name, part.drink.serves
    pairs = [
        (said, held)
        for low, high in _values(find)
        for said in _readings(low, high, find.unit)
        for held in _readings_of(part.ingredient.amount)
        if said[0] == held[0]
    ]
    of_all = share != "one" or serves == 1
    if of_all and any(_meets(find, said, held, tolerance) for said, held in pairs):
        return f"the recipe has {_written(part.ingredient.amount)} of {name} in all"
    each = [(said, _per_serve(held, serves)) for said, held in pairs if share != "all"]
    if any(_meets(find, said, held, tolerance) for said, held in each):
        return f"the recipe has {_recipe(part)} of {name}"
    return _fit_of_making(find, part.ingredient, tolerance)


def _fit_of_making(find: Find, part: Ingredient, tolerance: Tolerance) -> str | None:
    """How it fits what is made ahead at a time, or what goes into a syrup by grams."""
    for amount, words in _in_the_making(part):
        for low, high in _values(find):
            for said in _readings(low, high, find.unit):
                held = _readings_of(amount)
                if any(said[0] == h[0] and _meets(find, said, h, tolerance) for h in held):
                    return words
    return None


def _in_the_making(part: Ingredient) -> Iterator[tuple[Amount, str]]:
    if part.ahead.made is not None:
        made = part.ahead.made
        used = _written(part.amount)
        yield made, f"{_written(made)} of {part.name} is made at a time, {used} of it is used"
    syrup = part.syrup
    if syrup is not None and syrup.by == "grams":
        for name in ("sugar", "water", "juice", "solids"):
            grams = getattr(syrup, name)
            if grams > 0:
                what = "fruit, leaves or husks" if name == "solids" else name
                yield Amount(grams, "g"), f"{grams:g} g of {what} go into {part.name}"


def _values(find: Find) -> list[tuple[float, float]]:
    return [(find.low or 0.0, find.high or 0.0), *((value, value) for value in find.also)]


def _per_serve(held: Reading, serves: int) -> Reading:
    return held[0], held[1] / serves, held[2] / serves


def _meets(find: Find, said: Reading, held: Reading, tolerance: Tolerance) -> bool:
    return within(find, said[1:], held[1:], _slack(find, held, tolerance))


def _slack(find: Find, held: Reading, tolerance: Tolerance) -> float:
    ratio = tolerance.about_ratio if find.bound == "about" else tolerance.amount_ratio
    # Things that are counted are said exactly: two dashes are not three.
    counted = held[0] not in ("volume", "mass") and find.bound != "about"
    return 0.01 if counted else ratio * held[2]


def within(find: Find, said: tuple[float, float], held: tuple[float, float], slack: float) -> bool:
    """Whether a spoken value or range, hedged as it was, agrees with what is held."""
    if find.bound == "under":
        return held[0] <= said[1] + slack
    if find.bound == "over":
        return held[1] >= said[0] - slack
    return said[0] - slack <= held[1] and held[0] <= said[1] + slack


def _readings_of(amount: Amount) -> tuple[Reading, ...]:
    return _readings(amount.value, amount.value, amount.unit)


@lru_cache(maxsize=4_000)
def _readings(low: float, high: float, unit: str) -> tuple[Reading, ...]:
    """What the amount may be taken as: its own count, and its volume or mass."""
    if unit in VOLUME_UNITS:
        one_ml = VOLUME_UNITS[unit]
        most_ml = ROUNDED_OUNCE_ML if unit == "oz" else one_ml
        return (("volume", low * one_ml, high * most_ml),)
    if unit in MASS_UNITS:
        one_g = MASS_UNITS[unit]
        return (("mass", low * one_g, high * one_g),)
    if unit in BAR_MEASURES_ML:
        least, most = BAR_MEASURES_ML[unit]
        return (unit, low, high), ("volume", low * least, high * most)
    return ((unit, low, high),)


def _is_comparable(find: Find, amount: Amount) -> bool:
    said = {reading[0] for reading in _readings(find.low or 0.0, find.high or 0.0, find.unit)}
    return bool(said & {reading[0] for reading in _readings_of(amount)})


def said_amount(find: Find) -> str:
    """The spoken amount in figures: "40 ml", "50 to 55 ml", "about 2 dash".

    >>> said_amount(Find("s", "amount", 0, 1, "", 0, 0, 1, "", "", low=50, high=55, unit="ml"))
    '50 to 55 ml'
    """
    hedge = "" if find.bound == "exactly" else f"{find.bound} "
    low, high = find.low or 0.0, find.high or 0.0
    value = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    either = "".join(f" (or {other:g})" for other in find.also)
    return f"{hedge}{value}{either} {_unit_name(find.unit, high)}"


def range_words(low: float, high: float) -> str:
    """A number or a range in figures, without its unit."""
    told = figure_words(low)
    return told if low == high else f"{told} to {figure_words(high)}"


def _unit_name(unit: str, number: float) -> str:
    return unit_words(unit, number) if unit in _COUNTED else unit


def _written(amount: Amount) -> str:
    return f"{str(amount).split(' ')[0]} {unit_words(amount.unit, amount.value)}"


def _backing(part: _Part) -> Backing:
    return Backing(part.ingredient.name, str(part.ingredient.amount), "same", part.ingredient.id)
