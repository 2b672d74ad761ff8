"""The ledger: every claim of a script and every planned descriptor, held against the glass.

One row a claim. A descriptor said several times of one drink is one row with several sayings; a
planned descriptor that nobody says is a row without any.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from server.domain.base.languages import support_note, supported
from server.domain.claims.backing import State
from server.domain.claims.beside.by_hand import wrong_by_hand
from server.domain.claims.corrections import apply
from server.domain.claims.finder import MOST_FINDS, find_claims
from server.domain.claims.finds import MOST_CHARACTERS, Find, readable
from server.domain.claims.free.free_rows import free_rows
from server.domain.claims.lexicon import taxonomy_for
from server.domain.claims.number_rows import number_rows
from server.domain.claims.planned_claims import clashes
from server.domain.claims.rows import LedgerRow, ScriptCase
from server.domain.claims.sayings import TimesOfSayings
from server.domain.claims.taxonomy import Taxonomy
from server.domain.claims.which_drink import with_drinks
from server.domain.claims.word_rows import perhaps_rows, word_rows
from server.domain.routine.own_words import Correction

TOO_MUCH = (
    f"Not all of this script is checked: it has more than {MOST_FINDS:,} claims or "
    f"{MOST_CHARACTERS:,} characters, and what comes after those is left out."
)


@dataclass(frozen=True)
class TextMark:
    """A stretch of a segment's text, the row it belongs to, and that row's state."""

    start: int
    end: int
    row_key: str
    state: State


@dataclass(frozen=True)
class Unnamed:
    """An ingredient that the script never mentions."""

    drink_id: str
    ingredient_id: str
    name: str


@dataclass(frozen=True)
class Ledger:
    """Rows in the order they are said, unsaid ones last; and what else there is to point out.

    `perhaps` are words that nothing in the glass gives and that may not be said of it: what they
    are is asked, and until it is answered they count for nothing.
    """

    rows: tuple[LedgerRow, ...]
    perhaps: tuple[LedgerRow, ...]
    unnamed: tuple[Unnamed, ...]
    dismissed: tuple[Find, ...]
    resting: tuple[Correction, ...]
    note: str

    @property
    def every(self) -> tuple[LedgerRow, ...]:
        """All rows, those that are asked about too."""
        return (*self.rows, *self.perhaps)

    def marks(self, segment_id: str) -> tuple[TextMark, ...]:
        """The marks in a segment's text, in order."""
        found = [
            TextMark(said.start, said.end, row.key, row.state)
            for row in self.every
            for said in row.sayings
            if said.segment_id == segment_id
        ]
        return tuple(sorted(found, key=lambda mark: (mark.start, mark.end)))

    def count(self, state: State) -> int:
        """How many rows have that state first."""
        return sum(row.state == state for row in self.rows)


NOTHING_CLAIMED = Ledger((), (), (), (), (), note="")
"""The ledger of a script that cannot be checked."""


def ledger(case: ScriptCase) -> Ledger:
    """The ledger of a script."""
    passages = readable(case.passages)
    finds = find_claims(passages, case.drinks, case.language, case.own_words)
    is_all = len(passages) == len(case.passages) and len(finds) <= MOST_FINDS
    corrected = apply(finds[:MOST_FINDS], case.corrections, case.passages, case.language)
    taxonomy = taxonomy_for(supported(case.language).code, case.own_words)
    timetable = TimesOfSayings.of(case.passages, case.segments, case.tastings)
    told = with_drinks(corrected.finds, case.passages, case.drinks, case.language)
    rows = [
        *word_rows(case, told, taxonomy, timetable),
        *number_rows(case, told, timetable),
        *free_rows(case, told, timetable),
    ]
    sure = [row for row in rows if not row.is_asked]
    perhaps = [row for row in rows if row.is_asked]
    perhaps += perhaps_rows(case, told, rows, taxonomy, timetable)
    sure = _with_clashes(sure, taxonomy)
    order = {passage.segment_id: number for number, passage in enumerate(case.passages)}
    for part in (sure, perhaps):
        part.sort(key=lambda row: _place(row, order))
    return Ledger(
        rows=(*sure, *wrong_by_hand(case)),
        perhaps=tuple(perhaps),
        unnamed=_unnamed(case, corrected.finds),
        dismissed=corrected.dismissed,
        resting=corrected.resting,
        note=" ".join(filter(None, ("" if is_all else TOO_MUCH, support_note(case.language)))),
    )


def _place(row: LedgerRow, order: Mapping[str, int]) -> tuple[int, int]:
    """Where a row is first said; unsaid ones come last."""
    if not row.sayings:
        return len(order), 0
    return order[row.sayings[0].segment_id], row.sayings[0].start


def _with_clashes(rows: Sequence[LedgerRow], taxonomy: Taxonomy) -> list[LedgerRow]:
    """Rows with the rows of the same drink that cannot be true beside them."""
    against = _at_odds(rows, taxonomy)
    return [_at_odds_with(row, against[row.key]) if row.key in against else row for row in rows]


def _at_odds(rows: Sequence[LedgerRow], taxonomy: Taxonomy) -> dict[str, list[LedgerRow]]:
    surely = (row for row in rows if not row.is_doubtful)
    said = [row for row in surely if row.kind == "descriptor" and row.sayings and row.drink_id]
    # Few words have an opposite, and few are denied: only those need a look at all others.
    touchy = [row for row in said if row.polarity == "lacks" or taxonomy.sides(row.word)]
    against: dict[str, list[LedgerRow]] = {}
    for one in touchy:
        for other in said if one.polarity == "lacks" else touchy:
            if one.drink_id == other.drink_id and clashes(one, other, taxonomy):
                against.setdefault(one.key, []).append(other)
                if one.polarity == "lacks":
                    against.setdefault(other.key, []).append(one)
    return against


def _at_odds_with(row: LedgerRow, others: Sequence[LedgerRow]) -> LedgerRow:
    unique = {other.key: other for other in others}
    told = (f"At odds with “{other.label}”, said of the same drink." for other in unique.values())
    return replace(row, clashes_with=tuple(unique), why=(*row.why, *told))


def _unnamed(case: ScriptCase, finds: Sequence[Find]) -> tuple[Unnamed, ...]:
    named = {one for find in finds for one in find.ingredient_ids}
    return tuple(
        Unnamed(drink.id, part.id, part.name)
        for drink in case.drinks
        for part in drink.ingredients
        if part.id not in named
    )
