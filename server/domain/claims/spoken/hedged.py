"""Numbers without a unit that bound or answer: "three drops, never more than four", "How strong?
Forty-three.".

What bounds is told in the unit of what was told before it, unless a word like "longer" or "hotter"
tells its kind: "forty-two per cent; in the glass you're under sixteen". English.
"""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bare import (
    COLDEST_C,
    LEAST_ABV,
    MOST_ABV,
    Bare,
    ends,
    norms,
    words_before,
)
from server.domain.claims.spoken.bounds import bound_of
from server.domain.claims.spoken.units import QuantityKind

_KINDS: dict[str, QuantityKind] = {
    "longer": "time", "shorter": "time", "hotter": "temperature", "warmer": "temperature",
    "colder": "temperature", "cooler": "temperature", "stronger": "strength", "weaker": "strength",
}  # fmt: skip
_LENDS = ("amount", "temperature", "strength", "time")
_LIKE = frozenset({"like", "near", "nearer", "toward", "towards"})
_GOES_ON = frozenset({"once", "when", "after", "with", "in", "on", "at", "and", "so", "as", "by"})
_ASKS: dict[str, QuantityKind] = {
    "strong": "strength", "hot": "temperature", "cold": "temperature", "warm": "temperature",
}  # fmt: skip
_UNIT = {"temperature": "C", "strength": "%"}

FARTHEST = 14
"""Most tokens between a quantity and the number that bounds it."""


def hedged(bare: Bare) -> list[Quantity]:
    """The quantities that hedged numbers and answers of a sentence stand for, in order."""
    if bare.lang.code != "en":
        return []
    found: list[Quantity] = []
    for number in bare.numbers:
        quantity = _answer(bare, number) or _bounding(bare, found, number)
        if quantity is not None:
            found.append(quantity)
    return found


def _answer(bare: Bare, number: SaidNumber) -> Quantity | None:
    ahead = words_before(bare, number.first, 2, is_all=True)
    kind = _ASKS.get(ahead[1]) if ahead[:1] == ["how"] and len(ahead) == 2 else None
    if kind is None or not _is_likely(kind, number.value):
        return None
    value = number.value
    return Quantity(kind, number.first, number.end, value, value, _UNIT[kind])


def _bounding(bare: Bare, earlier: Sequence[Quantity], number: SaidNumber) -> Quantity | None:
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    before = words_before(bare, number.first, 4)
    is_like = bool(before) and (before[-1] in _LIKE or (bound == "about" and "like" in before))
    if (bound not in ("under", "over") and not is_like) or "if" in before:
        return None
    after = norms(bare, number.end, 1)
    if after and after[0] not in _GOES_ON and not ends(bare, number):
        return None
    if any(m.ingredient_ids and m.first == number.end for m in bare.mentions):
        return None
    kind = next((_KINDS[word] for word in reversed(before) if word in _KINDS), None)
    source = _source(bare, earlier, number, kind)
    if source is None or (is_like and source.kind in ("amount", "time")):
        return None
    scale = _scale(source)
    value = number.value * scale
    if source.kind in _UNIT and not _is_likely(source.kind, value):
        return None
    if source.kind == "amount" and not source.low / 10 <= value <= source.low * 10:
        return None
    return replace(
        source, first=number.first, end=number.end, low=value, high=value, also=(),
        bound=bound, is_slip=False,
    )  # fmt: skip


def _source(
    bare: Bare, earlier: Sequence[Quantity], number: SaidNumber, kind: QuantityKind | None
) -> Quantity | None:
    """What was told last before a number, of a kind where that is known."""
    told = [one for one in (*bare.quantities, *earlier) if one.end <= number.first]
    if bare.timed is not None:
        told.append(bare.timed)
    near = [
        one
        for one in told
        if one.kind in _LENDS
        and number.first - one.end <= FARTHEST
        and (kind is None or one.kind == kind)
        and (one is not bare.timed or kind == "time")
    ]
    return max(near, key=lambda one: one.first, default=None)


def _scale(source: Quantity) -> float:
    """How many of a unit's base one of it is: minutes and hours are told in seconds."""
    if source.kind != "time":
        return 1.0
    units = (86_400.0, 3_600.0, 60.0)
    return next((unit for unit in units if source.low >= unit and source.low % unit == 0), 1.0)


def _is_likely(kind: QuantityKind, value: float) -> bool:
    if kind == "strength":
        return LEAST_ABV <= value <= MOST_ABV
    return COLDEST_C <= value <= 100
