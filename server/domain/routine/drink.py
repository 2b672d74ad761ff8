"""A drink of a routine: its recipe, how it is made and served, what is to be stated of it.

What can be computed about the glass is in `server.domain.glass`; here is what the person gives.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from pydantic import ConfigDict, Field

from server.domain.base.amounts import Amount
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.text import (
    LINE,
    Name,
    Text,
    long_text_faults,
    name_faults,
)
from server.domain.glass.brew import Brew
from server.domain.glass.steps import MOST_STEPS, Step
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.glass.vessel import Vessel
from server.domain.routine.ahead import NOTHING_AHEAD, Ahead

MOST_INGREDIENTS = 60
MOST_WORDS = 60
USUAL_ROOM_C = 21.0


@dataclass(frozen=True)
class Ingredient:
    """An amount of something in a drink, what it is made of, and what it brings to the glass.

    `brew` and `syrup` say how it is made where it is made for this drink, `ahead` what of it was
    done before the slot; `after_step_id` names the step after which it goes in, None for what is
    there from the start.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    amount: Amount
    descriptors: Annotated[tuple[Name, ...], Field(max_length=MOST_WORDS)] = ()
    substance: Substance | None = None
    brew: Brew | None = None
    syrup: Syrup | None = None
    after_step_id: str | None = None
    ahead: Ahead = NOTHING_AHEAD

    def __post_init__(self) -> None:
        refuse_if([*name_faults(self.name), *word_faults(self.descriptors, "descriptors")])


@dataclass(frozen=True)
class Service:
    """How a drink comes to the judges: vessel, room, and from which segment to which it stands."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    vessel: Vessel | None = None
    room_c: Annotated[float, Field(ge=-20, le=60)] = USUAL_ROOM_C
    stated_c: Annotated[float, Field(ge=-80, le=110)] | None = None
    """The temperature that the presenter names."""
    poured_segment_id: Id | None = None
    drunk_segment_id: Id | None = None

    def __post_init__(self) -> None:
        faults = []
        if not -20 <= self.room_c <= 60:
            faults.append(Fault("room", "A room is between −20 and 60 °C."))
        if self.stated_c is not None and not -80 <= self.stated_c <= 110:
            faults.append(Fault("stated", "A drink is between −80 and 110 °C."))
        refuse_if(faults)


@dataclass(frozen=True)
class Drink:
    """A recipe for all its serves together, and the descriptors to be stated of it."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    serves: Annotated[int, Field(ge=1, le=100)] = 1
    ingredients: Annotated[tuple[Ingredient, ...], Field(max_length=MOST_INGREDIENTS)] = ()
    descriptors: Annotated[tuple[Name, ...], Field(max_length=MOST_WORDS)] = ()
    method: Text = ""
    steps: Annotated[tuple[Step, ...], Field(max_length=MOST_STEPS)] = ()
    part_ml: Annotated[float, Field(gt=0, le=10_000)] | None = None
    """How large one "part" is; None where parts are not used."""
    service: Service = Service()

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = [
            *name_faults(self.name),
            *word_faults(self.descriptors, "descriptors"),
            *long_text_faults(self.method, "method"),
        ]
        if not 1 <= self.serves <= 100:
            faults.append(Fault("serves", "Serves lie between 1 and 100."))
        if self.part_ml is not None and not 0 < self.part_ml <= 10_000:
            faults.append(Fault("part", "One part lies between 0 and 10,000 ml."))
        if len(self.ingredients) > MOST_INGREDIENTS:
            faults.append(Fault("name", f"A drink holds at most {MOST_INGREDIENTS} ingredients."))
        if len(self.steps) > MOST_STEPS:
            faults.append(Fault("kind", f"At most {MOST_STEPS} steps fit here."))
        steps = {step.id for step in self.steps}
        for part in self.ingredients:
            if part.after_step_id is not None and part.after_step_id not in steps:
                faults.append(Fault("after", f"“{part.name}” goes in after a step not there."))
        return faults


MOST_OF_A_SHORT_NAME = 14
_LITTLE_WORDS = frozenset(
    ("the", "a", "an", "on", "of", "at", "my", "our", "no", "der", "die", "le", "la")
)


def short_names(drinks: Sequence[Drink]) -> dict[str, str]:
    """Id -> a word for each drink where there is little room: the first that only it begins with.

    >>> short_names((Drink("a", "The Lamp on the Landing"), Drink("b", "Orchard at Low Water")))
    {'a': 'Lamp', 'b': 'Orchard'}
    """
    firsts = {drink.id: _telling_words(drink.name)[0] for drink in drinks}
    counts = Counter(word.casefold() for word in firsts.values())
    return {
        drink.id: firsts[drink.id]
        if counts[firsts[drink.id].casefold()] == 1
        else _cut(" ".join(_telling_words(drink.name)))
        for drink in drinks
    }


def _telling_words(name: str) -> list[str]:
    words = [_cut(word) for word in name.split() if word.casefold() not in _LITTLE_WORDS]
    return words or [_cut(name)]


def _cut(text: str) -> str:
    return text if len(text) <= MOST_OF_A_SHORT_NAME else f"{text[: MOST_OF_A_SHORT_NAME - 1]}…"


def word_faults(words: tuple[str, ...], field_name: str) -> list[Fault]:
    """What is wrong with a list of descriptors; empty when nothing is."""
    if len(words) > MOST_WORDS:
        return [Fault(field_name, f"At most {MOST_WORDS} descriptors fit here.")]
    if any(not word.strip() for word in words):
        return [Fault(field_name, "A descriptor cannot be empty.")]
    too_long = [word for word in words if len(word) > LINE]
    return [
        Fault(field_name, f"“{word[:30]}…” is too long for one descriptor.") for word in too_long
    ]
