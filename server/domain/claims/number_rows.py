"""Rows for spoken numbers."""

import re
from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.amounts import UNITS, Amount
from server.domain.claims.backing import Judgement
from server.domain.claims.brews.brew_water import BREW_WATER, brew_water_judged
from server.domain.claims.brews.brewing import brewing_judged
from server.domain.claims.compare_amounts import said_amount
from server.domain.claims.compare_numbers import (
    serves_judged,
    spoken_duration,
    strength_judged,
    temperature_judged,
)
from server.domain.claims.doubt.numbers_in_doubt import spared
from server.domain.claims.finds import Find
from server.domain.claims.handling.ice_water import FROM_ICE, ice_water_judged
from server.domain.claims.rows import (
    LedgerRow,
    ScriptCase,
    drinks_of,
    facts_for,
    judged_row,
    said_rows,
)
from server.domain.claims.sayings import TimesOfSayings
from server.domain.claims.spoken.amounts_held import measured_judged
from server.domain.claims.spoken.around import narrowed
from server.domain.claims.spoken.recipes import count_judged, ratio_judged
from server.domain.claims.spoken.times_held import time_judged


def number_rows(
    case: ScriptCase, finds: Sequence[Find], timetable: TimesOfSayings
) -> list[LedgerRow]:
    """A row for each spoken number; the same one said again adds to its row."""
    told = (
        (find, _number_row(case, finds, number, timetable))
        for number, find in enumerate(finds)
        if find.kind not in ("descriptor", "perhaps", "ingredient", "free", "only")
    )
    return said_rows(told, timetable)


def _number_row(
    case: ScriptCase, finds: Sequence[Find], number: int, timetable: TimesOfSayings
) -> LedgerRow:
    find = finds[number]
    text = timetable.passages[find.segment_id].text
    owners = _meant_by(finds, number, text)
    if find.kind == "ratio":
        owners = _made_before(finds, number, text)
    judgement = _number_judged(case, find, owners, timetable)
    if case.language == "en":
        drinks = drinks_of(case, find.drink_id)
        judgement = spared(find, timetable.sentence(find), judgement, drinks)
    label = _number_label(find, case, find.ingredient_ids)
    return judged_row(find, label, judgement, said=_amount_said(find), number=_number_said(find))


def _amount_said(find: Find) -> Amount | None:
    """The one amount that is said; None for ranges, limits and other numbers."""
    if find.kind != "amount" or not _is_one(find) or find.low is None:
        return None
    return Amount(find.low, find.unit) if find.unit in UNITS and find.low <= 100_000 else None


def _number_said(find: Find) -> tuple[float, str] | None:
    """The one number that is said and its unit; None for ranges, limits and amounts."""
    if find.kind == "amount" or not _is_one(find) or find.low is None:
        return None
    return find.low, find.unit


def _is_one(find: Find) -> bool:
    return find.low == find.high and not find.also and find.bound in ("exactly", "about")


def _named_before(finds: Sequence[Find], number: int, reach: int = 1) -> tuple[str, ...]:
    """The ingredient named last before an amount that stands alone, in its sentence or the one
    before: "Here is the brandy. Forty millilitres of it."
    """
    find = finds[number]
    if find.kind not in ("amount", "time") or find.of_other:
        return ()
    for at in range(number - 1, -1, -1):
        earlier = finds[at]
        near = find.sentence_index - earlier.sentence_index <= reach
        if earlier.segment_id != find.segment_id or not near:
            break
        if earlier.ingredient_ids:
            return earlier.ingredient_ids
    return ()


THAT_REACH = 3
"""So many sentences back "fifty of that" may name what it is of."""

_OF_THAT = re.compile(r"\s+of (?:that|it|this)\b(?!\s+\w+ing\b)", re.IGNORECASE)


def _meant_by(finds: Sequence[Find], number: int, text: str) -> tuple[str, ...]:
    """The ingredients that a number is most likely of: beside it, or named before it."""
    find = finds[number]
    if find.ingredient_ids:
        return find.ingredient_ids
    if find.kind == "strength":
        return _of_its_amount(finds, number, text)
    says_that = find.kind == "amount" and _OF_THAT.match(text, find.end) is not None
    return _named_before(finds, number, THAT_REACH if says_that else 1)


def _of_its_amount(finds: Sequence[Find], number: int, text: str) -> tuple[str, ...]:
    """ "A coffee liqueur. Forty millilitres, thirty per cent.": of what is measured."""
    amount, find = finds[number - 1] if number else None, finds[number]
    if amount is None or amount.kind != "amount" or amount.segment_id != find.segment_id:
        return ()
    gap = text[amount.end : find.start]
    return _meant_by(finds, number - 1, text) if gap.strip(" ,") in ("", "and", "at") else ()


MOST_BETWEEN = 30
"""Characters between what is made and the ratio it is made in: "the syrup's built two to one"."""


def _made_before(finds: Sequence[Find], number: int, text: str) -> tuple[str, ...]:
    """What is named right before a ratio, in its own clause."""
    find = finds[number]
    for earlier in reversed(finds[:number]):
        if earlier.ingredient_ids and earlier.segment_id == find.segment_id:
            gap = text[earlier.end : find.start]
            is_near = len(gap) <= MOST_BETWEEN and not _ANOTHER_CLAUSE.search(gap)
            return earlier.ingredient_ids if is_near else ()
    return ()


_ANOTHER_CLAUSE = re.compile(r"[.;:!?]|\b(?:and|then|but|so|to|as|against|with)\b", re.IGNORECASE)


def _number_judged(
    case: ScriptCase, find: Find, owners: Sequence[str], timetable: TimesOfSayings
) -> Judgement:
    drinks = drinks_of(case, find.drink_id)
    told = narrowed(find, timetable.sentence(find))
    find, sentence = told.find, told.text
    facts = facts_for(case, drinks)
    if find.of_other == FROM_ICE:
        return ice_water_judged(told, facts, case.tolerance)
    if find.of_other == BREW_WATER:
        return brew_water_judged(find, drinks, case.tolerance)
    if find.of_other:
        why = f"You say {said_amount(find)} of {find.of_other}; the recipe lists nothing such."
        return Judgement("unbacked", why, is_checked=False)
    if find.kind == "amount":
        text = timetable.passages[find.segment_id].text
        return measured_judged(find, text, owners, drinks, case)
    if find.kind == "ratio":
        return ratio_judged(find, drinks, sentence, owners, case.tolerance)
    if find.kind == "count":
        return count_judged(find, drinks)
    if find.kind == "temperature":
        judged = temperature_judged(told, facts, case.tolerance)
        return brewing_judged(told, drinks, case.tolerance, judged)
    if find.kind == "strength":
        judged = strength_judged(told, facts, owners, case.tolerance)
        return brewing_judged(told, drinks, case.tolerance, judged)
    if find.kind == "time":
        return time_judged(find, sentence, case.times, drinks, owners, case.tolerance)
    return serves_judged(find, drinks, case.drinks)


def _number_label(find: Find, case: ScriptCase, owners: Sequence[str]) -> str:
    names = {part.id: part.name for drink in case.drinks for part in drink.ingredients}
    of_what = f" of {names[owners[0]]}" if owners and owners[0] in names else ""
    of_what = f" of {BREW_WATER}" if find.of_other == BREW_WATER else of_what
    of_what = f" {FROM_ICE}" if find.of_other == FROM_ICE else of_what
    low, high = find.low or 0.0, find.high or 0.0
    if find.kind == "time":
        return spoken_duration(low, high)
    if find.kind == "temperature":
        return said_amount(replace(find, unit=f"°{find.unit}"))
    if find.kind == "serves":
        return f"{low:g} serves"
    if find.kind == "ratio":
        return f"{low:g} to {high:g}"
    if find.kind == "count":
        return f"{low:g} {find.unit}s"
    return said_amount(find) + of_what
