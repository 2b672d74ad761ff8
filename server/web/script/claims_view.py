"""The ledger as its page shows it: claims with their places, filters, and the corrections."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from server.domain.base.words import sentences_of
from server.domain.claims.corrections import held_at
from server.domain.claims.finds import KINDS, MOMENTS, Passage
from server.domain.claims.rows import Row
from server.domain.claims.sayings import Saying
from server.domain.routine.own_words import Correction
from server.domain.routine.routine import Routine
from server.web.script.check import UNCHECKED, WORDS, Badge, Checked, badge, badge_key, row_id
from server.web.script.check import sentence_id as id_of_sentence

NOTES = {
    "open": "To be settled",
    "timing": "Said when nobody can taste it",
    "again": "Said more than once",
    "odds": "At odds with another",
}
"""What else a list of claims can be narrowed to -> the words for it."""

MOST_PLACES = 12
"""Places listed of one claim: a word said more often than that is not looked for one by one."""

NO_DRINK = "none"
"""Stands for "of no drink in particular" among the drinks to choose from."""


@dataclass(frozen=True)
class Filters:
    """What the list is narrowed to; "" for no narrowing."""

    state: str = ""
    drink: str = ""
    kind: str = ""
    note: str = ""

    def takes(self, row: Row) -> bool:
        """Whether a row is to be shown."""
        return (
            self.state in ("", badge_key(row))
            and self.drink in ("", row.drink_id or NO_DRINK)
            and self.kind in ("", row.kind)
            and (not self.note or _has_note(row, self.note))
        )

    def query(self, **changes: str) -> str:
        """The address's query with some of them changed; "" where nothing is narrowed."""
        given = {key: value for key, value in vars(replace(self, **changes)).items() if value}
        return f"?{urlencode(given)}" if given else ""

    @property
    def narrows(self) -> bool:
        """Whether anything is left out."""
        return any(vars(self).values())


@dataclass(frozen=True)
class Place:
    """Where a claim is said: the segment, the time in the slot, the sentence in the script."""

    number: int
    segment: str
    sentence_id: str
    saying: Saying

    @property
    def moment(self) -> str:
        """When the judges are to notice it, in words."""
        return MOMENTS[self.saying.moment]

    @property
    def value(self) -> str:
        """What names this place in a form."""
        return f"{self.saying.segment_id}:{self.saying.start}"


@dataclass(frozen=True)
class Line:
    """A claim of the ledger as the page shows it."""

    id: str
    row: Row
    badges: tuple[Badge, ...]
    kind: str
    places: tuple[Place, ...]

    @property
    def shown(self) -> tuple[Place, ...]:
        """The places that are listed, the first ones."""
        return self.places[:MOST_PLACES]

    @property
    def hidden(self) -> int:
        """How many places are not listed."""
        return len(self.places) - len(self.shown)

    @property
    def ingredient_id(self) -> str | None:
        """The ingredient that its number is held against, or that brings it most."""
        return self.row.backings[0].ingredient_id if self.row.backings else None


@dataclass(frozen=True)
class CorrectionLine:
    """A correction: the words it is about, what it says of them, and where it holds (or rests)."""

    id: str
    words: str
    verdict: str
    sentence_id: str | None


@dataclass(frozen=True)
class SentenceChoice:
    """A sentence of the script, to be chosen in a form."""

    value: str
    text: str


def lines_of(found: Checked, routine: Routine, filters: Filters) -> list[Line]:
    """The claims that the filters let through: the most pressing first, then as they are said."""
    names = {part.id: (n, part.name) for n, part in enumerate(routine.segments, 1)}
    rank = list(WORDS)
    rows = sorted(found.ledger.rows, key=lambda row: rank.index(badge_key(row)))
    return [_line(row, names) for row in rows if filters.takes(row)]


def tally(found: Checked) -> list[tuple[str, Badge, int]]:
    """Each state, or "unchecked", with how many claims are in it; all states but empty ones."""
    keys = [badge_key(row) for row in found.ledger.rows]
    return [(key, badge(key), keys.count(key)) for key in WORDS if key in keys]


def correction_lines(routine: Routine, passages: Sequence[Passage]) -> list[CorrectionLine]:
    """What the presenter corrected, the latest first."""
    held = held_at(routine.corrections, passages, routine.language)
    texts = {passage.segment_id: passage.text for passage in passages}
    parts = {part.id: part.name for drink in routine.drinks for part in drink.ingredients}
    lines = []
    for correction in reversed(routine.corrections):
        at = held.get(correction.id)
        words = texts[at.segment_id][at.start : at.end] if at else correction.phrase
        place = id_of_sentence(at.segment_id, at.sentence_index) if at else None
        lines.append(CorrectionLine(correction.id, words, _verdict(correction, parts), place))
    return lines


def sentence_choices(routine: Routine) -> Iterator[tuple[str, list[SentenceChoice]]]:
    """The sentences of each segment in which something is said: (segment's name, sentences)."""
    for number, segment in enumerate(routine.segments, 1):
        choices = [
            SentenceChoice(f"{segment.id}:{each.index}", segment.said[each.start : each.end])
            for each in sentences_of(segment.said, routine.language)
        ]
        if choices:
            yield f"{number}. {segment.name}", choices


def kinds_in(found: Checked) -> dict[str, str]:
    """The kinds of claim there are, with their words."""
    there = {row.kind for row in found.ledger.rows}
    return {kind: words for kind, words in KINDS.items() if kind in there}


def _line(row: Row, names: Mapping[str, tuple[int, str]]) -> Line:
    key = badge_key(row)
    others = [badge(state) for state in row.states[1:]] if key != UNCHECKED else []
    return Line(
        id=row_id(row.key),
        row=row,
        badges=(badge(key), *others),
        kind=KINDS[row.kind],
        places=tuple(_place(saying, names) for saying in row.sayings),
    )


def _place(saying: Saying, names: Mapping[str, tuple[int, str]]) -> Place:
    number, name = names[saying.segment_id]
    at = id_of_sentence(saying.segment_id, saying.sentence_index)
    return Place(number, name, at, saying)


def _verdict(correction: Correction, parts: Mapping[str, str]) -> str:
    if correction.verdict == "ingredient":
        return f"means {parts[correction.ingredient_id or '']}"
    if correction.verdict == "word":
        return f"means “{correction.word}”"
    return "is no claim"


def _has_note(row: Row, note: str) -> bool:
    return {
        "open": row.is_open,
        "timing": row.is_untimely,
        "again": row.is_repeated,
        "odds": bool(row.clashes_with),
    }.get(note, False)
