"""What one taster answered: the words they ticked, or the glass they chose.

An answer is always all of it: sent twice, or after a later one, it changes nothing.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from server.domain.base.documents import Document
from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import read_whole
from server.domain.tasters.serving import GlassSet
from server.domain.tasters.sitting import Sitting

Moment = Literal["", "nose", "sip", "finish"]

WHEN: dict[Moment, str] = {"nose": "Nose", "sip": "First sip", "finish": "Finish"}
"""When something is found -> the words for it."""

STRENGTHS = {1: "Faint", 2: "Clear", 3: "Strong"}
"""How strongly something is found -> the words for it."""


@dataclass(frozen=True)
class Tick(Document):
    """A word that was found, by its place in the sitting; 0 and "" where more was not said."""

    word: Annotated[int, Field(ge=0)]
    when: Moment = ""
    strength: Annotated[int, Field(ge=0, le=3)] = 0


@dataclass(frozen=True)
class Answer(Document):
    """All that one taster has answered so far; `count` grows with every change on their phone."""

    count: int = 0
    done: bool = False
    ticks: tuple[Tick, ...] = ()
    chosen: str = ""

    def has(self, word: int) -> bool:
        """Whether a word was ticked."""
        return any(tick.word == word for tick in self.ticks)


NOTHING_YET = Answer()


def answer_from(values: Mapping[str, str], sitting: Sitting, glasses: GlassSet | None) -> Answer:
    """The answer that a form holds. Raises InvalidInput for what belongs to no glass and no word.

    Fields: count, done, word-3, when-3, strength-3, chosen.
    """
    count = read_whole(values.get("count", "") or "0")
    if count is None:
        raise InvalidInput.of("count", "That is no answer of this page.")
    done = bool(values.get("done"))
    if sitting.kind == "list":
        return Answer(count, done, tuple(_ticks(values, sitting)))
    chosen = values.get("chosen", "")
    if chosen and (glasses is None or chosen not in glasses.codes):
        raise InvalidInput.of("chosen", "That code stands on none of your glasses.")
    if done and not chosen:
        raise InvalidInput.of("chosen", "Choose a glass. If you are not sure, guess.")
    return Answer(count, done, chosen=chosen)


def _ticks(values: Mapping[str, str], sitting: Sitting) -> list[Tick]:
    ticks = []
    for place in range(len(sitting.words)):
        if values.get(f"word-{place}"):
            strength = read_whole(values.get(f"strength-{place}", "") or "0")
            when = values.get(f"when-{place}", "")
            known: Moment = next((each for each in WHEN if each == when), "")
            ticks.append(Tick(place, known, strength if strength in STRENGTHS else 0))
    return ticks
