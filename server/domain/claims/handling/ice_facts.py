"""What the ice of a drink's one step on ice adds, in per cent."""

from collections.abc import Iterator

from server.domain.claims.facts import ICE_WATER, OF_ALL, OF_BEFORE, KnownNumber
from server.domain.glass.balance import Balance
from server.domain.glass.cold.on_ice import ICE_SPREAD
from server.domain.glass.steps import ON_ICE, Agitate, Filter, Ice
from server.domain.routine.drink import Drink


def ice_waters(drink: Drink, worked_out: Balance) -> Iterator[KnownNumber]:
    """It in per cent of the volume before, and of what is in the glass; nothing where several
    steps are on ice, or where it cannot be told what melts.
    """
    on_ice = [step for step in drink.steps if step.kind in ON_ICE]
    if len(on_ice) != 1:
        return
    step, total = on_ice[0], worked_out.batch.volume_ml
    added_g = next((note.added_g for note in worked_out.steps if note.step_id == step.id), 0.0)
    is_filtered = any(isinstance(one, Filter) for one in drink.steps)
    is_known = total is not None and total.is_whole and not is_filtered
    if isinstance(step, Agitate):
        taken = step.dilution
        least, likely, most = (each / 100 for each in (taken.least, taken.value, taken.most))
        before_ml = added_g / likely if likely else 0.0
    elif isinstance(step, Ice) and added_g > 0 and total is not None and is_known:
        before_ml = total.value - added_g
        spread = (ICE_SPREAD.least, ICE_SPREAD.value, ICE_SPREAD.most)
        least, likely, most = (each * added_g / before_ml for each in spread)
    else:
        return
    yield KnownNumber("strength", OF_BEFORE, least * 100, most * 100, about=ICE_WATER)
    later = 0.0
    if total is not None and is_known and before_ml > 0:
        # What goes in behind the ice makes its share smaller.
        later = max(0.0, total.value / before_ml - 1 - likely)
    low, high = (100 * part / (1 + part + later) for part in (least, most))
    yield KnownNumber("strength", OF_ALL, low, high, about=ICE_WATER)
