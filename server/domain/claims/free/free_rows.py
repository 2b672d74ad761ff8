"""Rows for what a drink is said to be free of, or to be made of alone."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.claims.backing import Judgement
from server.domain.claims.beside.but_for import makes_exception
from server.domain.claims.doubt.absences_in_doubt import absence_judged
from server.domain.claims.finds import Find
from server.domain.claims.free.judged import NAMES, free_judged, only_judged
from server.domain.claims.free.kinds_said import kind_said
from server.domain.claims.free.those import named_so_far, says_those, those_judged
from server.domain.claims.rows import LedgerRow, ScriptCase, drinks_of, judged_row, said_rows
from server.domain.claims.sayings import TimesOfSayings
from server.domain.routine.drink import Drink


def free_rows(
    case: ScriptCase, finds: Sequence[Find], timetable: TimesOfSayings
) -> list[LedgerRow]:
    """A row for each thing that a drink is said not to hold; said again, it adds to its row."""
    told = (
        (find, _free_row(case, finds, number, timetable))
        for number, find in enumerate(finds)
        if find.kind in ("free", "only")
    )
    return said_rows(told, timetable)


def _free_row(
    case: ScriptCase, finds: Sequence[Find], number: int, timetable: TimesOfSayings
) -> LedgerRow:
    find = finds[number]
    drinks = drinks_of(case, find.drink_id)
    if find.kind == "free":
        word = find.word or ""
        label = f"no {NAMES.get(word, word)}"
        judgement = free_judged(word, drinks, kind_said(find.phrase))
        if judgement.state == "contradicted" and _is_but_for(find, timetable):
            judgement = _but_for(find, finds, drinks, judgement)
        elif judgement.state == "contradicted" and case.language == "en":
            judgement = absence_judged(find, judgement, drinks, timetable)
        elif judgement.state == "backed" and _is_reserved(find, timetable):
            why = f"{judgement.why} You say so with a reservation: say it outright, or not at all."
            judgement = Judgement("unbacked", why, is_checked=False)
    else:
        label = "nothing else in it"
        if says_those(find, timetable):
            judgement = those_judged(find, finds[:number], drinks, timetable)
        else:
            named = find.ingredient_ids or named_so_far(finds[:number])
            judgement = only_judged(named, drinks)
    return replace(judged_row(find, label, judgement), polarity="lacks")


_RESERVES = (
    "unless ", "that i know", "that i could", "that i can", "that i'm aware", "not that i",
    "as far as i", "to my knowledge", "i think", "i believe", "ask the", "but ask", "i hope",
)  # fmt: skip
_RESERVED = ("i'd say", "i would say", "i think", "i believe", "as far as i know", "i guess")


def _is_reserved(find: Find, timetable: TimesOfSayings) -> bool:
    """ "No gluten that I know": no more is said than that it may be free of it."""
    text, first = timetable.sentence(find).casefold(), find.sentence_start
    behind = text[find.end - first :].lstrip(" ,;–—")
    ahead = text[: find.start - first].rstrip(" ,;:").removesuffix(" it's").removesuffix(" it is")
    return behind.startswith(_RESERVES) or ahead.endswith(_RESERVED)


def _is_but_for(find: Find, timetable: TimesOfSayings) -> bool:
    first = find.sentence_start
    return makes_exception(timetable.sentence(find), find.start - first, find.end - first)


def _but_for(
    find: Find, finds: Sequence[Find], drinks: Sequence[Drink], judged: Judgement
) -> Judgement:
    """ "No sugar apart from the honey": all but what is named must be free of it."""
    beside = [each for each in finds if each.segment_id == find.segment_id
              and each.sentence_start == find.sentence_start]  # fmt: skip
    named = {one for each in beside for one in each.ingredient_ids}
    tastes = {each.word for each in beside if each.kind == "descriptor"}
    rest = [
        replace(drink, ingredients=tuple(
            part for part in drink.ingredients
            if part.id not in named and tastes.isdisjoint(part.descriptors)
        ))
        for drink in drinks
    ]  # fmt: skip
    others = free_judged(find.word or "", rest)
    if (named or tastes) and others.state == "backed":
        return replace(others, why=f"{others.why} What you name besides is left out of it.")
    why = f"{judged.why} You say so but for a part; that part is not weighed here."
    return Judgement("unbacked", why, is_checked=False)
