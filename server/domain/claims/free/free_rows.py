"""Rows for what a drink is said to be free of, or to be made of alone."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.tokens import tokens_of
from server.domain.claims.backing import Judgement
from server.domain.claims.beside.but_for import makes_exception
from server.domain.claims.finds import Find
from server.domain.claims.free.judged import NAMES, free_judged, only_judged
from server.domain.claims.rows import LedgerRow, ScriptCase, drinks_of, judged_row, said_rows
from server.domain.claims.sayings import TimesOfSayings
from server.domain.claims.spoken.recipes import count_judged
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
        judgement = free_judged(word, drinks)
        if judgement.state == "contradicted" and _is_another_kind(find, drinks):
            why = f"{judgement.why} But you only say that there is no {find.phrase.split()[-1]}."
            judgement = Judgement("unbacked", why, is_checked=False)
        elif judgement.state == "contradicted" and _is_but_for(find, timetable):
            judgement = _but_for(find, finds, drinks, judgement)
        elif judgement.state == "backed" and _is_reserved(find, timetable):
            why = f"{judgement.why} You say so with a reservation: say it outright, or not at all."
            judgement = Judgement("unbacked", why, is_checked=False)
    else:
        label = "nothing else in it"
        named = find.ingredient_ids
        is_those = _says_those(find, timetable)
        if not named or is_those:
            named = _named_so_far(finds[:number])
        judgement = only_judged(named, drinks)
        is_counted = is_those and _counts_them(find, finds[:number], drinks)
        if judgement.state == "contradicted" and is_counted:
            why = f"{judgement.why} But you count as many as the recipe has."
            judgement = Judgement("unbacked", why, is_checked=False)
    return replace(judged_row(find, label, judgement), polarity="lacks")


_KINDS = frozenset({"cream", "butter", "whey", "yolk", "yolks", "peanuts", "peanut"})


def _is_another_kind(find: Find, drinks: Sequence[Drink]) -> bool:
    """ "no cream" of a drink with butter: one kind of it is denied, another is there."""
    said = find.phrase.casefold().split()[-1]
    names = {token.norm for drink in drinks for part in drink.ingredients
             for token in tokens_of(part.name)}  # fmt: skip
    return said in _KINDS and said not in names


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


_THOSE = frozenset({"those", "these", "them", "that"})


def _says_those(find: Find, timetable: TimesOfSayings) -> bool:
    """ "Nothing but those": what was told before is meant."""
    behind = timetable.sentence(find)[find.end - find.sentence_start :]
    return any(token.norm in _THOSE for token in tokens_of(behind)[:1])


def _counts_them(find: Find, earlier: Sequence[Find], drinks: Sequence[Drink]) -> bool:
    """ "Four ingredients and nothing but those": counted rightly, and named one by one later."""
    last = next((each for each in reversed(earlier) if each.kind == "count"), None)
    if last is None or last.segment_id != find.segment_id or last.unit != "ingredient":
        return False
    return count_judged(last, drinks).state == "backed"


def _named_so_far(finds: Sequence[Find]) -> tuple[str, ...]:
    """The ingredients named so far: "… That's the lot, and nothing else goes in"."""
    return tuple(dict.fromkeys(one for find in finds for one in find.ingredient_ids))
