"""What the presenter says of a sentence that they said by heart."""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from server.domain.base.documents import Document
from server.domain.base.durations import LAST_MS
from server.domain.base.errors import refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import Length, limit_faults
from server.domain.base.tokens import LONGEST_SENTENCE
from server.domain.learn.thinning import FIRST_WORDS, Step

How = Literal["sat", "stumbled", "gone"]

HOWS: dict[How, str] = {"sat": "I knew it", "stumbled": "I stumbled", "gone": "It was gone"}
"""How a sentence went -> the words for it."""

MOST_MARKS = 20_000
"""Marks of one routine: an hour an evening for half a year."""


@dataclass(frozen=True)
class LearningMark(Document):
    """How a sentence went: its text as it was then, what was shown of it, and when.

    `run_id` is the run whose recording told it, None where the presenter did.
    """

    id: Id
    text: Annotated[str, Length(LONGEST_SENTENCE, required=True)]
    how: How
    step: Step
    said_ms: Annotated[int, Field(ge=0, le=LAST_MS)]
    run_id: Id | None = None

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))

    @property
    def counted(self) -> How:
        """How it counts: said with more than first words in view, it was no more than a stumble."""
        return "stumbled" if self.how == "sat" and self.step < FIRST_WORDS else self.how
