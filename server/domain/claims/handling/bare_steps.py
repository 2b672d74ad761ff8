"""Numbers without a unit that a step or the serving of the drink tells: "it sits for forty before
it is strained", "taste it at seven". English.
"""

from collections.abc import Iterator, Sequence

from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bare import Bare, begins_at, ends, words_before
from server.domain.claims.spoken.bounds import bound_of
from server.domain.claims.spoken.time_acts import act_of
from server.domain.glass.steps import Rest
from server.domain.routine.drink import Drink

WAITS = frozenset({"stand", "rest", "steep"})
"""What is done, or left undone, while a drink stands."""

_SERVING = frozenset(
    {
        "serve", "serves", "served", "serving", "drink", "drinks", "drinking", "taste", "tastes",
        "sip", "pour", "pours", "poured", "hand", "lands", "arrives", "comes", "reaches", "reach",
        "get", "have", "goes", "leaves", "bring", "brings", "meets", "glass", "cup",
    }
)  # fmt: skip
_HEDGES = frozenset({"about", "around", "roughly", "exactly", "just", "only", "nearly", "almost"})


def bare_steps(bare: Bare, drinks: Sequence[Drink]) -> list[Quantity]:
    """The bare numbers of a sentence that steps and serving give a unit, in order."""
    if bare.lang.code != "en":
        return []
    minutes = {
        step.minutes.value for drink in drinks for step in drink.steps if isinstance(step, Rest)
    }
    served = {drink.service.stated_c for drink in drinks if drink.service.stated_c is not None}
    return list(_told(bare, minutes, served)) if minutes or served else []


def _told(bare: Bare, minutes: set[float], served: set[float]) -> Iterator[Quantity]:
    for number in bare.numbers:
        before = [token.norm for token in bare.tokens[begins_at(bare, number) : number.first]]
        ahead = words_before(bare, number.first, 3)
        while ahead and ahead[-1] in _HEDGES:
            ahead.pop()
        if not ends(bare, number) or not ahead:
            continue
        lasts = ahead[-1] in ("for", "rests", "stands", "sits") and act_of(before, ()) in WAITS
        is_served = ahead[-1] in ("at", "is") and not _SERVING.isdisjoint(before)
        if lasts and number.value in minutes:
            yield _made(bare, number, number.value * 60, is_time=True)
        elif is_served and number.value in served:
            yield _made(bare, number, number.value, is_time=False)


def _made(bare: Bare, number: SaidNumber, value: float, *, is_time: bool) -> Quantity:
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    first, end = number.first, number.end
    if is_time:
        return Quantity("time", first, end, value, value, "s", bound=bound)
    return Quantity("temperature", first, end, value, value, "C", bound=bound)
