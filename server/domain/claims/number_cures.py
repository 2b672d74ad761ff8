"""What a contradicted temperature, strength, time or count of serves should be."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from server.domain.claims.facts import STRENGTH, KnownNumber
from server.domain.claims.rows import LedgerRow
from server.domain.glass.figures import Figure
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.edits import part_of, put_drink, put_ingredient, put_process
from server.domain.routine.routine import Routine
from server.domain.routine.sayable import sayable, sayable_seconds
from server.domain.routine.tolerance import Tolerance

_PERCENT = re.compile(r"%|per\s?cent", re.IGNORECASE)

MOST_SERVES = 100
"""As many as a drink can have."""


@dataclass(frozen=True)
class TrueNumber:
    """A number that is true: `words` for a button, `text` for what stands in place of a phrase."""

    words: str
    text: Callable[[str], str]


def true_numbers(row: LedgerRow, routine: Routine) -> tuple[tuple[str, TrueNumber], ...]:
    """What could be said instead of a contradicted number: id of the cure and the number."""
    if row.kind == "serves":
        serves = dict.fromkeys(drink.serves for drink in _drinks(row, routine))
        several = len(serves) > 1
        return tuple((f"say-{n}" if several else "say", _serves(n)) for n in serves)
    if row.held is None or row.number is None:
        return ()
    return (("say", _number(row.held, row.number[1], routine.tolerance)),)


def said_words(row: LedgerRow) -> str:
    """The number that is said, as a button has it."""
    value, unit = row.number or (0.0, "")
    if row.kind == "time":
        return _duration_text(round(value))
    return f"{value:g} %" if row.kind == "strength" else f"{value:g} {_noun(unit, value)}".strip()


def stated_as_said(row: LedgerRow, routine: Routine) -> Routine | None:
    """The routine whose recipe or plan states what is said; None where neither states the value."""
    value, _ = row.number or (0.0, "")
    if row.kind == "serves":
        drinks = _drinks(row, routine)
        is_count = len(drinks) == 1 and 1 <= value <= MOST_SERVES and value == int(value)
        return put_drink(routine, replace(drinks[0], serves=int(value))) if is_count else None
    held = row.held
    if held is not None and held.process_id is not None and value > 0:
        process = part_of(routine.processes, held.process_id)
        change_s = value - process.duration.likely_s
        duration = process.duration.changed_by(change_s)
        return put_process(routine, replace(process, duration=duration))
    if row.kind == "strength" and held is not None and 0 <= value <= 100:
        return _with_strength(routine, held.ingredient_id, value)
    return None


def _number(held: KnownNumber, unit: str, tolerance: Tolerance) -> TrueNumber:
    low, high = held.low, held.high
    if held.kind == "temperature":
        slack = tolerance.temp_c
        if unit == "F":
            low, high, slack = low * 1.8 + 32, high * 1.8 + 32, slack * 1.8
        words = f"{sayable(low, high, slack):g} °{unit or 'C'}"
        return TrueNumber(words, lambda _: words)
    if held.kind == "strength":
        words = f"{sayable(low, high, tolerance.strength_points):g} %"
        return TrueNumber(words, lambda phrase: words + _behind_percent(phrase))
    middle = (low + high) / 2
    told = _duration_text(sayable_seconds(middle, tolerance.time_slack_s(middle)))
    return TrueNumber(told, lambda _: told)


def _serves(serves: int) -> TrueNumber:
    def text(phrase: str) -> str:
        noun = phrase.split()[-1]
        return f"{serves} {noun}" if len(phrase.split()) > 1 and serves > 1 else words

    words = f"{serves} {_noun('serve', serves)}"
    return TrueNumber(words, text)


def _noun(unit: str, number: float) -> str:
    if unit in ("C", "F"):
        return f"°{unit}"
    return f"{unit}s" if unit == "serve" and number != 1 else unit


def _duration_text(seconds: int) -> str:
    """A duration as the check reads it again, whatever the language: "1 min 20 s", "12 h"."""
    if seconds >= LEAST_IN_HOURS_S and seconds % HALF_HOUR_S == 0:
        return f"{seconds / 3600:g} h"
    minutes, rest = divmod(seconds, 60)
    return " ".join([f"{minutes} min"] * (minutes > 0) + [f"{rest} s"] * (rest > 0 or not minutes))


LEAST_IN_HOURS_S, HALF_HOUR_S = 7_200, 1_800
"""From two hours on nobody counts minutes."""


def _behind_percent(phrase: str) -> str:
    parts = _PERCENT.split(phrase, maxsplit=1)
    return parts[1] if len(parts) > 1 else ""


def _drinks(row: LedgerRow, routine: Routine) -> tuple[Drink, ...]:
    return tuple(each for each in routine.drinks if each.id == row.drink_id) or routine.drinks


def _with_strength(routine: Routine, ingredient_id: str | None, percent: float) -> Routine | None:
    """The routine with the strength of an ingredient changed where its recipe gives one."""
    for drink in routine.drinks:
        for part in drink.ingredients:
            changed = _as_strong(part, percent) if part.id == ingredient_id else part
            if changed != part:
                return put_ingredient(routine, drink.id, changed)
    return None


def _as_strong(part: Ingredient, percent: float) -> Ingredient:
    name = STRENGTH.sub(lambda found: found[0].replace(found[1], f"{percent:g}", 1), part.name, 1)
    substance = part.substance
    if substance is not None and substance.abv is not None:
        substance = replace(substance, abv=Figure(percent))
    return replace(part, name=name, substance=substance)
