"""A tasting with what everybody answered, as it leaves and enters with its routine.

Tasters go by their place: their names were given for the host's eyes alone.
"""

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from server.domain.base.documents import Document, Instant
from server.domain.base.errors import InvalidInput
from server.domain.tasters.serving import MOST_PLACES
from server.domain.tasters.sitting import Sitting
from server.domain.tasters.taster_answers import NOTHING_YET, Answer

MOST_SITTINGS = 500
"""Tastings of one routine in a file."""


@dataclass(frozen=True)
class TasterRecord(Document):
    """One taster's place, answer, and whether it was kept apart; `key` sets the order of words."""

    key: Annotated[str, Field(min_length=1, max_length=64)]
    place: Annotated[int, Field(ge=1, le=MOST_PLACES)]
    joined_ms: Instant
    joins: Annotated[int, Field(ge=1, le=10_000)] = 1
    answer: Answer = NOTHING_YET
    answered_ms: Instant | None = None
    apart: bool = False


@dataclass(frozen=True)
class SittingRecord(Document):
    """A tasting and its tasters. Raises InvalidInput for answers that do not belong to it."""

    sitting: Sitting
    tasters: Annotated[tuple[TasterRecord, ...], Field(max_length=MOST_PLACES)] = ()

    def __post_init__(self) -> None:
        count = len(self.tasters)
        if len({each.key for each in self.tasters}) < count:
            raise InvalidInput.of("tasters", "Two tasters carry the same key.")
        if len({each.place for each in self.tasters}) < count:
            raise InvalidInput.of("tasters", "Two tasters have the same place.")
        for each in self.tasters:
            if each.place > self.sitting.most_tasters:
                raise InvalidInput.of("tasters", "More tasters than the tasting has places.")
            if any(tick.word >= len(self.sitting.words) for tick in each.answer.ticks):
                raise InvalidInput.of("tasters", "A word was ticked that is not in the tasting.")
            if each.answer.chosen not in ("", *self._codes_of(each)):
                raise InvalidInput.of("tasters", "A glass was chosen that nobody had.")

    def _codes_of(self, taster: TasterRecord) -> tuple[str, ...]:
        return self.sitting.sets[taster.place - 1].codes if self.sitting.sets else ()
