"""How much alcohol one taster has over an evening: all its tastings added up."""

from collections.abc import Collection, Sequence
from datetime import datetime

from sqlmodel import Session

from server.domain.base.durations import HOUR_MS
from server.domain.glass.alcohol import STANDARD_DRINK_G
from server.domain.tasters.alcohol_each import no_less
from server.domain.tasters.sitting import Sitting
from server.store.tastings.tasters import tasted_by
from server.web.frame.filters import decimal
from server.web.frame.local_zone import LOCAL, midnight_ms
from server.web.tasters.in_glass import LEAST_G, alcohol_of

EVENING_ENDS_H = 5
"""An evening lasts until five in the morning: what is drunk after midnight belongs to it."""


def earlier_words(sitting: Sitting, earlier: Sequence[Sitting]) -> str:
    """What a taster has in all with the tastings before this one; "" where they held nothing.

    What is spat out is left out, as it is of the limit.
    """
    swallowed = [each for each in (*earlier, sitting) if not each.pour.spat]
    grams = [_grams(each) for each in swallowed]
    before = sum(g >= LEAST_G for each, g in zip(swallowed, grams, strict=True) if each != sitting)
    if not before:
        return ""
    drinks = sum(grams) / STANDARD_DRINK_G[sitting.definition]
    them = "the earlier one" if before == 1 else f"the {before} earlier ones"
    told = f"With {them} {decimal(no_less(drinks), 1)} standard drinks today."
    most = sitting.pour.most_drinks
    if drinks <= most or sitting.pour.spat:
        return told
    meant = "1 standard drink" if most == 1 else f"{decimal(most, 1)} standard drinks"
    return f"{told} That is more than the {meant} meant for one taster: spit this out."


def earlier_of(
    session: Session, sitting: Sitting, keys: Collection[str], now_ms: int
) -> dict[str, str]:
    """Key of a taster -> that sentence, for those who tasted elsewhere on that evening."""
    found = tasted_by(session, keys, evening_began_ms(now_ms))
    told = {key: earlier_words(sitting, _but(all_, sitting)) for key, all_ in found.items()}
    return {key: words for key, words in told.items() if words}


def evening_began_ms(now_ms: int) -> int:
    """When the evening began that a moment belongs to: at five in the morning before it."""
    day = datetime.fromtimestamp((now_ms - EVENING_ENDS_H * HOUR_MS) / 1000, LOCAL).date()
    return midnight_ms(day) + EVENING_ENDS_H * HOUR_MS


def _but(all_: Sequence[Sitting], sitting: Sitting) -> list[Sitting]:
    return [each for each in all_ if each.id != sitting.id]


def _grams(sitting: Sitting) -> float:
    pour = sitting.pour
    found = alcohol_of(sitting.drinks, sitting.kind, pour.glass_ml, sitting.definition)
    return found.ethanol_g
