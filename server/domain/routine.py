"""The routine: everything that is presented in one slot.

Values here are frozen and cannot exist in a wrong state: building one that breaks a rule raises
InvalidInput with every fault found. Edits (see `edits`) return a new routine. The same values
are what a run freezes and what an exported file holds; pydantic reads the annotations for that.
"""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from server.domain.drink import Drink
from server.domain.durations import LONGEST_S
from server.domain.errors import Fault, refuse_if
from server.domain.events import Id
from server.domain.glass.alcohol import Definition
from server.domain.network import Cycle, first_cycle
from server.domain.text import LINE, Name, Text, line_faults, long_text_faults, name_faults

Seconds = Annotated[float, Field(ge=0, le=LONGEST_S)]
Lane = Literal["hands", "voice", "both"]

LANES: dict[Lane, str] = {"both": "Hands and voice", "hands": "Hands only", "voice": "Voice only"}
"""Lane -> the words that name it on a page."""

LANGUAGES = {
    "en": "English",
    "de": "German",
    "es": "Spanish",
    "fr": "French",
    "it": "Italian",
    "pt": "Portuguese",
    "other": "Another language",
}
"""Language of the talk -> its name. A run on stage uses it to choose a voice for time calls."""

STANDARD_DRINKS: dict[Definition, str] = {
    "WHO": "10 g of alcohol (WHO)",
    "US": "14 g of alcohol (US)",
    "UK": "10 ml of alcohol (UK unit)",
}
"""Definition of a standard drink -> the words for it."""

MOST_SEGMENTS = 200
MOST_DRINKS = 20
MOST_PROCESSES = 20


@dataclass(frozen=True)
class Spread:
    """A planned duration: the likely one, and where known the lowest and highest."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    likely_s: Seconds
    low_s: Seconds | None = None
    high_s: Seconds | None = None

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        named = (("likely", self.likely_s), ("low", self.low_s), ("high", self.high_s))
        faults = [
            Fault(name, "A duration lies between 0:00 and a day.")
            for name, seconds in named
            if seconds is not None and not 0 <= seconds <= LONGEST_S
        ]
        if self.low_s is not None and self.low_s > self.likely_s:
            faults.append(Fault("low", "The lowest duration cannot be above the likely one."))
        if self.high_s is not None and self.high_s < self.likely_s:
            faults.append(Fault("high", "The highest duration cannot be below the likely one."))
        return faults

    @property
    def least_s(self) -> float:
        """The lowest duration, or the likely one where no lowest was given."""
        return self.likely_s if self.low_s is None else self.low_s

    @property
    def most_s(self) -> float:
        """The highest duration, or the likely one where no highest was given."""
        return self.likely_s if self.high_s is None else self.high_s


@dataclass(frozen=True)
class Segment:
    """A timed piece of the routine: what the hands do and what is said in it."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    duration: Spread
    lane: Lane = "both"
    hands: Text = ""
    said: Text = ""
    drink_id: Id | None = None
    auto_advance: bool = False
    """Whether the stage goes on by itself when its likely duration is over."""

    def __post_init__(self) -> None:
        refuse_if(
            [
                *name_faults(self.name),
                *long_text_faults(self.hands, "hands"),
                *long_text_faults(self.said, "said"),
            ]
        )


@dataclass(frozen=True)
class Process:
    """A parallel process: runs by itself after one segment, must be ready before another.

    A link is None where the segment it named was deleted; the plan page asks for a new one.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    duration: Spread
    after_segment_id: Id | None = None
    before_segment_id: Id | None = None
    fallback: Text = ""

    def __post_init__(self) -> None:
        refuse_if([*name_faults(self.name), *long_text_faults(self.fallback, "fallback")])


@dataclass(frozen=True)
class Routine:
    """Drinks, segments in their order on stage, and parallel processes of one slot."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    rule_sheet_id: Id
    presenter: Annotated[str, Field(max_length=LINE)] = ""
    language: str = "en"
    drinks: Annotated[tuple[Drink, ...], Field(max_length=MOST_DRINKS)] = ()
    segments: Annotated[tuple[Segment, ...], Field(max_length=MOST_SEGMENTS)] = ()
    processes: Annotated[tuple[Process, ...], Field(max_length=MOST_PROCESSES)] = ()
    notes: Text = field(default="")
    standard_drink: Definition = "WHO"
    """Which standard drink alcohol is counted in."""

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = [
            *name_faults(self.name),
            *line_faults(self.presenter, "presenter"),
            *long_text_faults(self.notes, "notes"),
        ]
        if self.language not in LANGUAGES:
            faults.append(Fault("language", "Choose a language from the list."))
        link_faults = self._link_faults()
        # Two parts of one id would be one knot in the network, and its circle nobody's.
        cycle_faults = [] if link_faults else self._cycle_faults()
        return [*faults, *self._size_faults(), *link_faults, *cycle_faults]

    def _size_faults(self) -> list[Fault]:
        limits = (
            ("segments", self.segments, MOST_SEGMENTS),
            ("drinks", self.drinks, MOST_DRINKS),
            ("processes", self.processes, MOST_PROCESSES),
        )
        return [
            Fault("name", f"A routine holds at most {most} {what}.")
            for what, items, most in limits
            if len(items) > most
        ]

    def _link_faults(self) -> list[Fault]:
        ids = [drink.id for drink in self.drinks]
        ids += [segment.id for segment in self.segments]
        ids += [process.id for process in self.processes]
        ids += [part.id for drink in self.drinks for part in drink.ingredients]
        ids += [step.id for drink in self.drinks for step in drink.steps]
        faults = []
        if len(set(ids)) < len(ids):
            faults.append(Fault("id", "Two parts of the routine carry the same id."))
        drinks = {drink.id for drink in self.drinks}
        segments = {segment.id for segment in self.segments}
        for segment in self.segments:
            if segment.drink_id is not None and segment.drink_id not in drinks:
                faults.append(Fault("drink", f"“{segment.name}” names a drink that is not here."))
        for drink in self.drinks:
            service = drink.service
            if not {service.poured_segment_id, service.drunk_segment_id} <= segments | {None}:
                faults.append(Fault("poured", f"“{drink.name}” is served in no segment of this."))
        for process in self.processes:
            if process.after_segment_id not in segments | {None}:
                faults.append(Fault("after", f"“{process.name}” starts after no segment of this."))
            if process.before_segment_id not in segments | {None}:
                faults.append(Fault("before", f"“{process.name}” is needed by no segment of this."))
        return faults

    def _cycle_faults(self) -> list[Fault]:
        cycle = first_cycle(self.segments, self.processes)
        return [] if cycle is None else [Fault("before", cycle_sentence(cycle))]


def cycle_sentence(cycle: Cycle) -> str:
    """A cycle in words: who waits for whom, and what to do."""
    waits = " → ".join(f"“{name}”" for name in cycle.names)
    return (
        f"“{cycle.process_name}” would have to be ready before it starts: {waits}. "
        "Choose a later segment, or start it earlier."
    )
