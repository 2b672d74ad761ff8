"""Cue cards: how each sentence of a segment begins, and the claims that must not be lost."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.domain.base.tokens import sentences_of
from server.domain.learn.thinning import first_words
from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine

if TYPE_CHECKING:
    from server.domain.claims.due import DueClaim

CUE_WORDS = 4
"""So many words of a sentence are on a card: with them the rest comes."""

MOST_LINES = 12
"""Lines that a card of A6 has room for beside its head and its claims; more go on another."""

MOST_CLAIMS = 10


@dataclass(frozen=True)
class CueCard:
    """A card of a segment, the `part`-th of `parts`; times in seconds of the slot."""

    number: int
    segment_id: str
    name: str
    start_s: float
    planned_s: float
    lines: tuple[str, ...]
    claims: tuple[str, ...]
    part: int = 1
    parts: int = 1


def cue_cards(routine: Routine, due: "Sequence[DueClaim]" = ()) -> tuple[CueCard, ...]:
    """The cards of all segments in which something is said, in their order."""
    found: list[CueCard] = []
    placed = {each.segment.id: each for each in layout(routine).segments}
    for number, segment in enumerate(routine.segments, 1):
        lines = _lines(segment.said, routine.language)
        if not lines:
            continue
        claims = _claims(segment.id, due)
        sheets = [lines[at : at + MOST_LINES] for at in range(0, len(lines), MOST_LINES)]
        for part, sheet in enumerate(sheets, 1):
            found.append(
                CueCard(
                    number,
                    segment.id,
                    segment.name,
                    placed[segment.id].start_s,
                    segment.duration.likely_s,
                    tuple(sheet),
                    claims if part == 1 else (),
                    part,
                    len(sheets),
                )
            )
    return tuple(found)


def _lines(said: str, language: str) -> list[str]:
    return [
        first_words(said[each.start : each.end], CUE_WORDS) for each in sentences_of(said, language)
    ]


def _claims(segment_id: str, due: "Iterable[DueClaim]") -> tuple[str, ...]:
    said = [each.label for each in due if each.is_scripted and segment_id in each.segment_ids]
    return tuple(dict.fromkeys(said))[:MOST_CLAIMS]
