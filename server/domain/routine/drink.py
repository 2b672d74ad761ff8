"""A drink of a routine: its recipe, how it is made and served, what is to be stated of it.

What can be computed about the glass is in `server.domain.glass`; here is what the person gives.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from server.domain.base.amounts import Amount
from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Between, limit_faults
from server.domain.base.text import LINE, Name, Text
from server.domain.glass.brew import Brew
from server.domain.glass.cooling import ROOMS_C as ROOMS_C
from server.domain.glass.cooling import USUAL_ROOM_C as USUAL_ROOM_C
from server.domain.glass.figures import Figure
from server.domain.glass.steps import MOST_STEPS, Step
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.glass.vessel import Vessel
from server.domain.routine.ahead import NOTHING_AHEAD, Ahead

MOST_INGREDIENTS = 60
MOST_WORDS = 60

Words = Annotated[tuple[Name, ...], AtMost(MOST_WORDS, "At most {} descriptors fit here.")]


@dataclass(frozen=True)
class Ingredient(Document):
    """An amount of something in a drink, what it is made of, and what it brings to the glass.

    `brew` and `syrup` say how it is made where it is made for this drink, `ahead` what of it was
    done before the slot; `after_step_id` names the step after which it goes in, None for what is
    there from the start.
    """

    id: Id
    name: Name
    amount: Amount
    descriptors: Words = ()
    substance: Substance | None = None
    brew: Brew | None = None
    syrup: Syrup | None = None
    after_step_id: str | None = None
    ahead: Ahead = NOTHING_AHEAD

    def __post_init__(self) -> None:
        refuse_if([*limit_faults(self), *_word_faults(self.descriptors)])

    @property
    def is_bare(self) -> bool:
        """Whether nothing is known of what it holds."""
        return not (self.substance or self.brew or self.syrup)


@dataclass(frozen=True)
class Service(Document):
    """How a drink comes to the judges: vessel, room, and from which segment to which it stands."""

    vessel: Vessel | None = None
    room_c: Annotated[float, Between(-20, 60, "A room is between −20 and 60 °C.")] = USUAL_ROOM_C
    stated_c: Annotated[float, Between(-80, 110, "A drink is between −80 and 110 °C.")] | None = (
        None
    )
    """The temperature that the presenter names."""
    poured_segment_id: Id | None = None
    drunk_segment_id: Id | None = None
    over_ice: bool = False
    """Whether it stands over ice until it is drunk: then it stays cold and thins."""

    @property
    def room(self) -> Figure:
        """The room's temperature: as it was given, or with how far rooms differ."""
        return ROOMS_C if self.room_c == USUAL_ROOM_C else Figure(self.room_c)

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self, room_c="room", stated_c="stated"))


@dataclass(frozen=True)
class Drink(Document):
    """A recipe for all its serves together, and the descriptors to be stated of it."""

    id: Id
    name: Name
    serves: Annotated[int, Between(1, 100, "Serves lie between 1 and 100.")] = 1
    ingredients: Annotated[
        tuple[Ingredient, ...], AtMost(MOST_INGREDIENTS, "A drink holds at most {} ingredients.")
    ] = ()
    descriptors: Words = ()
    method: Text = ""
    steps: Annotated[tuple[Step, ...], AtMost(MOST_STEPS, "At most {} steps fit here.")] = ()
    part_ml: (
        Annotated[float, Between(0, 10_000, "One part lies between 0 and 10,000 ml.", above=True)]
        | None
    ) = None
    """How large one "part" is; None where parts are not used."""
    service: Service = Service()

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(self, part_ml="part", ingredients="name", steps="kind")
        faults += _word_faults(self.descriptors)
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

    A name that is short by itself stays whole: half of "Low Tide" is no name.

    >>> short_names((Drink("a", "The Lamp on the Landing"), Drink("b", "Orchard at Low Water")))
    {'a': 'Lamp', 'b': 'Orchard'}
    >>> short_names((Drink("a", "The Low Tide"),))
    {'a': 'Low Tide'}
    """
    firsts = {drink.id: _telling_words(drink.name)[0] for drink in drinks}
    counts = Counter(word.casefold() for word in firsts.values())

    def short(drink: Drink) -> str:
        first = firsts[drink.id]
        whole = drink.name[drink.name.find(first) :]
        if len(whole) <= MOST_OF_A_SHORT_NAME:
            return whole
        is_its_own = counts[first.casefold()] == 1
        return first if is_its_own else _cut(" ".join(_telling_words(drink.name)))

    return {drink.id: short(drink) for drink in drinks}


def _telling_words(name: str) -> list[str]:
    words = [_cut(word) for word in name.split() if word.casefold() not in _LITTLE_WORDS]
    return words or [_cut(name)]


def _cut(text: str) -> str:
    return text if len(text) <= MOST_OF_A_SHORT_NAME else f"{text[: MOST_OF_A_SHORT_NAME - 1]}…"


def _word_faults(words: tuple[str, ...]) -> list[Fault]:
    """What is wrong with the words in a list of descriptors."""
    if any(not word.strip() for word in words):
        return [Fault("descriptors", "A descriptor cannot be empty.")]
    return [
        Fault("descriptors", f"“{word[:30]}…” is too long for one descriptor.")
        for word in words
        if len(word) > LINE
    ]
