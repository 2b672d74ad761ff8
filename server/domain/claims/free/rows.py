"""Rows for what a drink is said to be free of, or to be made of alone."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.claims.finds import Find
from server.domain.claims.free.holding import NAMES, free_judged, only_judged
from server.domain.claims.rows import Case, Row, drinks_of, row_key
from server.domain.claims.sayings import Saying, Timetable, saying


def free_rows(case: Case, finds: Sequence[Find], timetable: Timetable) -> list[Row]:
    """A row for each thing that a drink is said not to hold; said again, it adds to its row."""
    rows: dict[str, Row] = {}
    sayings: dict[str, list[Saying]] = {}
    for number, find in enumerate(finds):
        if find.kind not in ("free", "only"):
            continue
        drinks = drinks_of(case, find.drink_id)
        word = find.word or ""
        if find.kind == "free":
            label = f"no {NAMES.get(word, word)}"
            judgement = free_judged(word, drinks)
        else:
            label = "nothing else in it"
            judgement = only_judged(find.ingredient_ids or _named_before(finds[:number]), drinks)
        key = row_key(find.drink_id, find.kind, label)
        sayings.setdefault(key, []).append(saying(find, timetable))
        rows.setdefault(
            key,
            Row(
                key=key,
                kind=find.kind,
                label=label,
                states=(judgement.state,),
                why=(judgement.why,),
                drink_id=find.drink_id,
                polarity="lacks",
                is_checked=judgement.is_checked,
                backings=judgement.backings,
            ),
        )
    return [replace(row, sayings=tuple(sayings[key])) for key, row in rows.items()]


def _named_before(finds: Sequence[Find]) -> tuple[str, ...]:
    """The ingredients named so far: "… That's the lot, and nothing else goes in"."""
    return tuple(dict.fromkeys(one for find in finds for one in find.ingredient_ids))
