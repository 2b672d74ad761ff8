"""Rows for spoken numbers."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.amounts import UNITS, Amount
from server.domain.base.tokens import tokens_of
from server.domain.claims.backing import Judgement
from server.domain.claims.compare_amounts import amount_judged, said_amount
from server.domain.claims.compare_numbers import (
    serves_judged,
    spoken_duration,
    strength_judged,
    temperature_judged,
)
from server.domain.claims.finds import Find
from server.domain.claims.rows import (
    LedgerRow,
    ScriptCase,
    drinks_of,
    facts_for,
    judged_row,
    said_rows,
)
from server.domain.claims.said_numbers import is_cardinal
from server.domain.claims.sayings import TimesOfSayings
from server.domain.claims.spoken.around import narrowed
from server.domain.claims.spoken.brew_water import BREW_WATER, brew_water_judged
from server.domain.claims.spoken.brewing import brewing_judged
from server.domain.claims.spoken.outside import alcohol_judged
from server.domain.claims.spoken.pieces import is_unmarked
from server.domain.claims.spoken.recipes import brew_mass_judged, count_judged, ratio_judged
from server.domain.claims.spoken.share import Share, share_of
from server.domain.claims.spoken.times import time_judged
from server.domain.claims.tasting.known_bounds import OF_ALCOHOL
from server.domain.routine.drink import Drink


def number_rows(
    case: ScriptCase, finds: Sequence[Find], timetable: TimesOfSayings
) -> list[LedgerRow]:
    """A row for each spoken number; the same one said again adds to its row."""
    told = (
        (find, _number_row(case, finds, number, timetable))
        for number, find in enumerate(finds)
        if find.kind not in ("descriptor", "ingredient", "free", "only")
    )
    return said_rows(told, timetable)


def _number_row(
    case: ScriptCase, finds: Sequence[Find], number: int, timetable: TimesOfSayings
) -> LedgerRow:
    find = finds[number]
    owners = find.ingredient_ids or _named_before(finds, number)
    judgement = _number_judged(case, find, owners, timetable)
    label = _number_label(find, case, find.ingredient_ids)
    return replace(
        judged_row(find, label, judgement),
        said=_amount_said(find),
        number=_number_said(find),
        held=judgement.held,
    )


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


def _named_before(finds: Sequence[Find], number: int) -> tuple[str, ...]:
    """The ingredient named last before an amount that stands alone, in its sentence or the one
    before: "Here is the brandy. Forty millilitres of it."
    """
    find = finds[number]
    if find.kind not in ("amount", "time") or find.of_other:
        return ()
    for at in range(number - 1, -1, -1):
        earlier = finds[at]
        near = find.sentence_index - earlier.sentence_index <= 1
        if earlier.segment_id != find.segment_id or not near:
            break
        if earlier.ingredient_ids:
            return earlier.ingredient_ids
    return ()


def _number_judged(
    case: ScriptCase, find: Find, owners: Sequence[str], timetable: TimesOfSayings
) -> Judgement:
    drinks = drinks_of(case, find.drink_id)
    find, sentence = narrowed(find, timetable.sentence(find))
    facts = facts_for(case, drinks)
    if find.of_other == BREW_WATER:
        return brew_water_judged(find, drinks, case.tolerance)
    if find.of_other:
        why = f"You say {said_amount(find)} of {find.of_other}; the recipe lists nothing such."
        return Judgement("unbacked", why, is_checked=False)
    if find.kind == "amount":
        text = timetable.passages[find.segment_id].text
        behind = text[find.end : find.sentence_end]
        near = _near_words(behind, case.language)
        of_brew = brew_mass_judged(find, drinks, sentence, near, case.tolerance)
        first = find.sentence_start
        said = text[first : find.sentence_end]
        share = share_of(said, find.start - first, find.end - first, case.language)
        if find.unit in ("g", "kg") and not set(near.split()[:3]).isdisjoint(OF_ALCOHOL):
            return alcohol_judged(find, facts, share, case.tolerance)
        judged = amount_judged(find, drinks, owners, case.tolerance, facts, share)
        # Where no marks stand, the name before an amount may be that of the clause before.
        # "… that the lemon gets, that's a hundred and twenty": of what the sentence is about.
        is_summed = text[first : find.start].casefold().rstrip().endswith("that's")
        is_loose = not find.ingredient_ids or is_unmarked(text) or is_summed
        if judged.state == "contradicted" and is_loose and not near.startswith("of "):
            judged = _of_another(find, drinks, case, judged, share)
        return judged if of_brew is None or judged.state == "backed" else of_brew
    if find.kind == "ratio":
        return ratio_judged(find, drinks, sentence, case.tolerance)
    if find.kind == "count":
        return count_judged(find, drinks)
    if find.kind == "temperature":
        judged = temperature_judged(find, sentence, facts, case.tolerance)
        return brewing_judged(find, drinks, sentence, case.tolerance, judged)
    if find.kind == "strength":
        judged = strength_judged(find, facts, find.ingredient_ids, case.tolerance, sentence)
        return brewing_judged(find, drinks, sentence, case.tolerance, judged)
    if find.kind == "time":
        return time_judged(find, sentence, case.times, drinks, owners, case.tolerance)
    return serves_judged(find, drinks, case.drinks)


def _near_words(text: str, language: str) -> str:
    """The first words behind a number, up to the next one: what it is of."""
    words: list[str] = []
    for token in tokens_of(text)[:4]:
        if token.is_number or is_cardinal(token.norm, language):
            break
        words.append(token.norm)
    return " ".join(words)


def _of_another(
    find: Find, drinks: Sequence[Drink], case: ScriptCase, judged: Judgement, share: Share
) -> Judgement:
    """An amount that names nothing and does not fit what was named last: it may be of another."""
    other = amount_judged(find, drinks, (), case.tolerance, facts_for(case, drinks))
    if other.state != "backed":
        return judged
    return replace(other, state="weakly backed", why=f"{other.why} Named last is another.")


def _number_label(find: Find, case: ScriptCase, owners: Sequence[str]) -> str:
    names = {part.id: part.name for drink in case.drinks for part in drink.ingredients}
    of_what = f" of {names[owners[0]]}" if owners and owners[0] in names else ""
    of_what = f" of {BREW_WATER}" if find.of_other == BREW_WATER else of_what
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
