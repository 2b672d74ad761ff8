"""Numbers without a unit that a step or the serving of the drink tells: "it sits for forty before
it is strained", "taste it at seven". English.
"""

from collections.abc import Iterator, Sequence

from server.domain.claims.quantities import Quantity
from server.domain.claims.spoken.bare import Bare, begins_at, counted_in, ends, words_before
from server.domain.claims.spoken.small_words import unhedged
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
        ahead = unhedged(words_before(bare, number.first, 3))
        if not ends(bare, number) or not ahead:
            continue
        lasts = ahead[-1] in ("for", "rests", "stands", "sits") and act_of(before, ()) in WAITS
        is_served = ahead[-1] in ("at", "is") and not _SERVING.isdisjoint(before)
        if lasts and number.value in minutes:
            yield counted_in(bare, number, "time", number.value * 60, "s")
        elif is_served and number.value in served:
            yield counted_in(bare, number, "temperature", number.value, "C")
