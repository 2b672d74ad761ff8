"""The routine: everything that is presented in one slot.

Values here are frozen and cannot exist in a wrong state: building one that breaks a rule raises
InvalidInput with every fault found. Edits (see `edits`) return a new routine. The same values
are what a run freezes and what an exported file holds; pydantic reads the annotations for that.
"""

from dataclasses import dataclass, field
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, limit_faults
from server.domain.base.text import Line, Name, Text
from server.domain.glass.alcohol import Definition
from server.domain.routine.drink import Drink, short_names
from server.domain.routine.lanes import Lane as Lane
from server.domain.routine.network import Cycle, first_cycle
from server.domain.routine.own_words import Correction, OwnWord
from server.domain.routine.planned import Spread as Spread
from server.domain.routine.preparing import NOTHING_PREPARED, Preparation
from server.domain.routine.process import Process as Process
from server.domain.routine.tolerance import USUAL, Tolerance

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
MOST_OWN_WORDS = 200
MOST_CORRECTIONS = 500
MOST_LINKS = 20


@dataclass(frozen=True)
class Segment(Document):
    """A timed piece of the routine: what the hands do and what is said in it."""

    id: Id
    name: Name
    duration: Spread
    lane: Lane = "both"
    hands: Text = ""
    said: Text = ""
    drink_id: Id | None = None
    alongside: bool = False
    """Whether it starts with the segment before it, as soon as its own lane is free."""
    after_segment_ids: Annotated[
        tuple[Id, ...], AtMost(MOST_LINKS, "A segment waits for at most {} others.")
    ] = ()
    """Segments that must be over before it starts, beside those that its lane waits for."""
    helper: bool = False
    """Whether other hands do it; what follows then waits for it only where linked."""
    movable: bool = False
    """Whether a proposed order may put it elsewhere."""
    auto_advance: bool = False
    """Whether the stage goes on by itself when its likely duration is over."""

    def __post_init__(self) -> None:
        refuse_if([*limit_faults(self, after_segment_ids="after"), *self._lane_faults()])

    def _lane_faults(self) -> list[Fault]:
        if self.helper and self.lane == "voice":
            return [Fault("helper", "A helper has hands only: choose another lane.")]
        return []

    @property
    def after_ids(self) -> tuple[str, ...]:
        """The ids of the segments it is linked after, as `lanes` asks for them."""
        return self.after_segment_ids


@dataclass(frozen=True)
class Routine(Document):
    """Drinks, segments in their order on stage, and parallel processes of one slot."""

    id: Id
    name: Name
    rule_sheet_id: Id
    presenter: Line = ""
    language: str = "en"
    drinks: Annotated[
        tuple[Drink, ...], AtMost(MOST_DRINKS, "A routine holds at most {} drinks.")
    ] = ()
    segments: Annotated[
        tuple[Segment, ...], AtMost(MOST_SEGMENTS, "A routine holds at most {} segments.")
    ] = ()
    processes: Annotated[
        tuple[Process, ...], AtMost(MOST_PROCESSES, "A routine holds at most {} processes.")
    ] = ()
    notes: Text = field(default="")
    standard_drink: Definition = "WHO"
    """Which standard drink alcohol is counted in."""
    own_words: Annotated[
        tuple[OwnWord, ...], AtMost(MOST_OWN_WORDS, "A routine holds at most {} words of its own.")
    ] = ()
    """Descriptors that this routine adds to the shipped ones."""
    corrections: Annotated[
        tuple[Correction, ...], AtMost(MOST_CORRECTIONS, "A routine holds at most {} corrections.")
    ] = ()
    """What the presenter said about claims that were found or missed in the script."""
    preparation: Preparation = NOTHING_PREPARED
    """What is packed, made and bought before the stage; no run freezes it."""
    tolerance: Tolerance = USUAL
    """How far what is said may lie from recipe and plan and still be right."""

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        parts = ("drinks", "segments", "processes", "own_words", "corrections")
        faults = limit_faults(self, **dict.fromkeys(parts, "name"))
        if self.language not in LANGUAGES:
            faults.append(Fault("language", "Choose a language from the list."))
        link_faults = self._link_faults()
        # Two parts of one id would be one knot in the network, and its circle nobody's.
        cycle_faults = [] if link_faults else self._cycle_faults()
        return [*faults, *self._word_faults(), *link_faults, *cycle_faults]

    def _word_faults(self) -> list[Fault]:
        words = [own.word.casefold() for own in self.own_words]
        twice = next((word for word in words if words.count(word) > 1), None)
        return [] if twice is None else [Fault("word", f"“{twice}” is one of your words already.")]

    def _link_faults(self) -> list[Fault]:
        ids = [drink.id for drink in self.drinks]
        ids += [segment.id for segment in self.segments]
        ids += [process.id for process in self.processes]
        ids += [part.id for drink in self.drinks for part in drink.ingredients]
        ids += [step.id for drink in self.drinks for step in drink.steps]
        ids += [correction.id for correction in self.corrections]
        faults = []
        if len(set(ids)) < len(ids):
            faults.append(Fault("id", "Two parts of the routine carry the same id."))
        drinks = {drink.id for drink in self.drinks}
        segments = {segment.id for segment in self.segments}
        for segment in self.segments:
            if segment.drink_id is not None and segment.drink_id not in drinks:
                faults.append(Fault("drink", f"“{segment.name}” names a drink that is not here."))
            if not set(segment.after_segment_ids) <= segments:
                faults.append(Fault("after", f"“{segment.name}” waits for no segment of this."))
        for drink in self.drinks:
            service = drink.service
            if not {service.poured_segment_id, service.drunk_segment_id} <= segments | {None}:
                faults.append(Fault("poured", f"“{drink.name}” is served in no segment of this."))
        parts = {part.id for drink in self.drinks for part in drink.ingredients}
        if not {each.ingredient_id for each in self.corrections} <= parts | {None}:
            faults.append(Fault("ingredient", "A correction names an ingredient that is not here."))
        if not {each.drink_id for each in self.corrections} <= drinks | {None}:
            faults.append(Fault("drink", "A correction names a drink that is not here."))
        for process in self.processes:
            if process.vessel_drink_id not in drinks | {None}:
                faults.append(Fault("vessel", f"“{process.name}” cools in a drink not here."))
            if process.product_id not in parts | {None}:
                faults.append(Fault("product", f"“{process.name}” makes no ingredient of this."))
            if process.after_segment_id not in segments | {None}:
                faults.append(Fault("after", f"“{process.name}” starts after no segment of this."))
            if process.before_segment_id not in segments | {None}:
                faults.append(Fault("before", f"“{process.name}” is needed by no segment of this."))
        return faults

    @property
    def short_names(self) -> dict[str, str]:
        """Drink id -> a word for it where there is little room."""
        return short_names(self.drinks)

    def _cycle_faults(self) -> list[Fault]:
        cycle = first_cycle(self.segments, self.processes)
        if cycle is None:
            return []
        return [Fault("before" if cycle.process_name else "after", cycle_sentence(cycle))]


def cycle_sentence(cycle: Cycle) -> str:
    """A cycle in words: who waits for whom, and what to do."""
    waits = " → ".join(f"“{name}”" for name in cycle.names)
    if not cycle.process_name:
        return f"These wait for one another in a circle: {waits}. Take one of the links away."
    return (
        f"“{cycle.process_name}” would have to be ready before it starts: {waits}. "
        "Choose a later segment, or start it earlier."
    )
