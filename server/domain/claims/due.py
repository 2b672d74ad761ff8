"""Descriptors that are due in each segment of a run: what someone beside the stage ticks off.

A planned descriptor keeps its key as long as the drink plans it, whether the script says it, says
it otherwise or forgets it; so ticks of many runs count together.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from server.domain.base.languages import supported
from server.domain.claims.ledger import Ledger
from server.domain.claims.lexicon import taxonomy_for
from server.domain.claims.planned_claims import covers
from server.domain.claims.rows import LedgerRow, row_key
from server.domain.routine.routine import Routine
from server.domain.runs.events import LONGEST_CLAIM


@dataclass(frozen=True)
class DueClaim:
    """A descriptor to be said of a drink, and the segments in which it is due.

    `is_scripted` is False for one that the script does not say: it is due in every segment about
    its drink. `places` are the sentences that say it: id of the segment, index of the sentence.
    """

    key: str
    label: str
    drink_id: str | None
    segment_ids: tuple[str, ...]
    is_scripted: bool
    places: tuple[tuple[str, int], ...] = ()
    is_planned: bool = True
    """Whether it stands on the card of a drink."""


def due_claims(routine: Routine, ledger: Ledger) -> tuple[DueClaim, ...]:
    """The descriptors due in a run of `routine`: those planned, then those only in the script."""
    taxonomy = taxonomy_for(supported(routine.language).code, routine.own_words)
    said = [
        row
        for row in ledger.rows
        if row.kind == "descriptor" and row.sayings and row.polarity != "lacks"
    ]
    due = []
    for drink in routine.drinks:
        about = tuple(each.id for each in routine.segments if each.drink_id == drink.id)
        for phrase in dict.fromkeys(drink.descriptors):
            rows = [
                row
                for row in said
                if row.drink_id in (drink.id, None) and covers(row.word, phrase, taxonomy)
            ]
            scripted = _segments(rows)
            due.append(
                DueClaim(
                    _key(drink.id, phrase),
                    phrase,
                    drink.id,
                    scripted or about,
                    bool(scripted),
                    _places(rows),
                )
            )
    beside = [row for row in said if not row.is_planned]
    due += [
        DueClaim(
            _key(row.drink_id, row.word),
            row.label,
            row.drink_id,
            _segments([row]),
            True,
            _places([row]),
            is_planned=False,
        )
        for row in beside
    ]
    return tuple({each.key: each for each in reversed(due)}.values())[::-1]


def _segments(rows: Iterable[LedgerRow]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(said.segment_id for row in rows for said in row.sayings))


def _places(rows: Iterable[LedgerRow]) -> tuple[tuple[str, int], ...]:
    found = ((said.segment_id, said.sentence_index) for row in rows for said in row.sayings)
    return tuple(dict.fromkeys(found))


def _key(drink_id: str | None, word: str) -> str:
    return row_key(drink_id, "descriptor", word)[:LONGEST_CLAIM]
