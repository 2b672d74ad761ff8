"""Rows for what a drink is said to be free of, or to be made of alone."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.tokens import tokens_of
from server.domain.claims.backing import Judgement
from server.domain.claims.finds import Find
from server.domain.claims.free.judged import NAMES, free_judged, only_judged
from server.domain.claims.rows import LedgerRow, ScriptCase, drinks_of, judged_row, said_rows
from server.domain.claims.sayings import TimesOfSayings
from server.domain.routine.drink import Drink


def free_rows(
    case: ScriptCase, finds: Sequence[Find], timetable: TimesOfSayings
) -> list[LedgerRow]:
    """A row for each thing that a drink is said not to hold; said again, it adds to its row."""
    told = (
        (find, _free_row(case, finds, number))
        for number, find in enumerate(finds)
        if find.kind in ("free", "only")
    )
    return said_rows(told, timetable)


def _free_row(case: ScriptCase, finds: Sequence[Find], number: int) -> LedgerRow:
    find = finds[number]
    drinks = drinks_of(case, find.drink_id)
    if find.kind == "free":
        word = find.word or ""
        label = f"no {NAMES.get(word, word)}"
        judgement = free_judged(word, drinks)
        if judgement.state == "contradicted" and _is_another_kind(find, drinks):
            why = f"{judgement.why} But you only say that there is no {find.phrase.split()[-1]}."
            judgement = Judgement("unbacked", why, is_checked=False)
        elif judgement.state == "contradicted" and _makes_exception(case, find):
            why = f"{judgement.why} You say so but for a part; that part is not weighed here."
            judgement = Judgement("unbacked", why, is_checked=False)
    else:
        label = "nothing else in it"
        judgement = only_judged(find.ingredient_ids or _named_so_far(finds[:number]), drinks)
    return replace(judged_row(find, label, judgement), polarity="lacks")


_KINDS = frozenset({"cream", "butter", "whey", "yolk", "yolks", "peanuts", "peanut"})


def _is_another_kind(find: Find, drinks: Sequence[Drink]) -> bool:
    """ "no cream" of a drink with butter: one kind of it is denied, another is there."""
    said = find.phrase.casefold().split()[-1]
    names = {token.norm for drink in drinks for part in drink.ingredients
             for token in tokens_of(part.name)}  # fmt: skip
    return said in _KINDS and said not in names


def _makes_exception(case: ScriptCase, find: Find) -> bool:
    """ "no sugar apart from what's in the cordial": more is said than that there is none."""
    text = next((one.text for one in case.passages if one.segment_id == find.segment_id), "")
    behind = [token.norm for token in tokens_of(text[find.end : find.sentence_end])][:3]
    return any(
        behind[: len(phrase)] == phrase
        for phrase in (
            ["apart", "from"], ["other", "than"], ["besides"], ["except"], ["beyond"], ["but"],
            ["aside", "from"], ["save", "for"],
        )
    )  # fmt: skip


def _named_so_far(finds: Sequence[Find]) -> tuple[str, ...]:
    """The ingredients named so far: "… That's the lot, and nothing else goes in"."""
    return tuple(dict.fromkeys(one for find in finds for one in find.ingredient_ids))
