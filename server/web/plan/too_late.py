"""What comes too late although the slot is finished in time: told beside every chance of that."""

from server.domain.base.durations import format_clock
from server.domain.base.number_words import count
from server.domain.risk.outcome import Forecast
from server.domain.risk.saying import in_a_hundred
from server.domain.routine.plan import Layout

SURELY_READY = 0.9
"""A process that is ready less often than so needs the person (ours)."""


def too_late(placed: Layout, forecast: Forecast) -> str:
    """The parallel process that comes latest, and how many others do; "" where all are in time.

    A chance to finish counts the wait for it or its plan B, and does not say that it fails.
    """
    chances = {each.id: each.chance_ready for each in forecast.processes}
    late = []
    for each in placed.processes:
        if each.due_s is None:
            continue
        name, chance = each.process.name, chances.get(each.process.id, 1.0)
        if each.margin_s is not None and each.margin_s < 0:
            words = f"“{name}” comes {format_clock(-each.margin_s)} too late by the plan"
            late.append((each.margin_s, words))
        elif chance < SURELY_READY:
            late.append((chance, f"“{name}” is ready in time only {in_a_hundred(chance)}"))
    if not late:
        return ""
    _, words = min(late)
    others = f", and {count(len(late) - 1, 'other')} too" if len(late) > 1 else ""
    return f"But {words}{others}."
