"""What the hands do, read for numbers that the recipe or the plan contradicts.

No judge hears it, so it claims nothing: only what is wrong gets a row, with no place in the talk.
"""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.tokens import words_kept
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Find, Passage, readable
from server.domain.claims.number_rows import number_rows
from server.domain.claims.rows import LedgerRow, ScriptCase
from server.domain.claims.sayings import TimesOfSayings
from server.domain.claims.which_drink import with_drinks

READ = ("amount", "temperature", "time", "ingredient")
"""Kinds of finds that are read in it; names of ingredients tell whose the numbers are."""

PARTLY = frozenset(
    {
        "rest", "half", "remaining", "again", "another", "reserve", "spare", "backup", "extra",
        "top", "bottle", "first", "then",
    }
)  # fmt: skip
"""Beside one of these an amount may be a part of what goes in, or more than it."""


def wrong_by_hand(case: ScriptCase) -> list[LedgerRow]:
    """A row for each amount, temperature and time in the hands' text that is contradicted."""
    passages = readable(case.hands)
    finds = find_claims(passages, case.drinks, case.language, case.own_words)
    timetable = TimesOfSayings.of(passages, case.segments, ())
    told = [
        find
        for find in with_drinks(finds, passages, case.drinks, case.language)
        if find.kind in READ and not _is_partial(find, timetable)
    ]
    rows = number_rows(replace(case, passages=tuple(passages)), told, timetable)
    return [_of_hands(row, passages) for row in rows if row.state == "contradicted"]


def _is_partial(find: Find, timetable: TimesOfSayings) -> bool:
    words = words_kept(timetable.sentence(find))
    return find.kind == "amount" and bool(words & PARTLY)


def _of_hands(row: LedgerRow, passages: Sequence[Passage]) -> LedgerRow:
    """The row without its places, which are none of the talk, and so without cures there."""
    place = row.sayings[0]
    sentence = next(
        passage.text[place.sentence_start : place.sentence_end].strip()
        for passage in passages
        if passage.segment_id == place.segment_id
    )
    why = row.why[0].replace("You say", "it says", 1)
    return replace(
        row,
        key=f"{row.key}:hands",
        label=f"{row.label} (hands)",
        why=(f"In what the hands do, “{sentence}”: {why}",),
        sayings=(),
        said=None,
        number=None,
        held=None,
        in_hands=place.segment_id,
    )
