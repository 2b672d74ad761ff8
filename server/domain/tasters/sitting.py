"""A sitting: one tasting by several people, with the recipes exactly as they were tasted.

A drink is kept whole, so what is found stays true of what was in the glass; `recipe_key` tells
whether a drink of today is still that one.
"""

import json
from dataclasses import dataclass
from hashlib import sha256
from typing import Annotated, Literal

from server.domain.base.documents import Document, Instant
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Between, limit_faults
from server.domain.base.text import Name
from server.domain.glass.alcohol import Definition
from server.domain.routine.drink import Drink
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.serving import MOST_PLACES, GlassSet
from server.domain.tasters.telling_apart import USUAL_AIM, DifferenceAim

Kind = Literal["list", "triangle", "preference"]

KINDS: dict[Kind, str] = {
    "list": "Blind list",
    "triangle": "Which one differs",
    "preference": "Which one is better",
}
"""Kind of a sitting -> the words for it."""

GLASSES: dict[Kind, int] = {"list": 1, "triangle": 3, "preference": 2}
"""How many glasses one taster has."""


@dataclass(frozen=True)
class GlassPour(Document):
    """How much is in a glass, and how much alcohol a taster may have in all.

    `most_drinks` is in standard drinks; it does not bind where all is `spat` out.
    """

    glass_ml: Annotated[float, Between(2, 300, "A glass holds 2 to 300 ml.")] = 20.0
    most_drinks: Annotated[float, Between(0, 3, "At most 0 to 3 standard drinks.")] = 1.0
    spat: bool = False

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))


@dataclass(frozen=True)
class Sitting(Document):
    """A tasting as it was set up. A list has one drink and words, the others two and glasses."""

    id: Id
    routine_id: Id
    kind: Kind
    name: Name
    made_ms: Instant
    seed: int
    drinks: tuple[Drink, ...]
    definition: Definition = "WHO"
    pour: GlassPour = GlassPour()
    words: Annotated[tuple[AskedWord, ...], AtMost(200, "At most {} words fit on a card.")] = ()
    decoys_wanted: int = 0
    """As many as were asked for; there may be fewer that fit the drink."""
    with_strength: bool = False
    sets: Annotated[
        tuple[GlassSet, ...], AtMost(MOST_PLACES, "At most {} people taste at once.")
    ] = ()
    aim: DifferenceAim = USUAL_AIM

    def __post_init__(self) -> None:
        refuse_if([*limit_faults(self, words="decoys", sets="tasters"), *self._faults()])

    def _faults(self) -> list[Fault]:
        if self.kind == "list":
            if not any(not each.is_decoy for each in self.words):
                return [Fault("drink", "Write words on the card of this drink first.")]
            if not any(each.is_decoy for each in self.words):
                return [
                    Fault("decoys", "Without a decoy nothing can be told. Add one of your own.")
                ]
            if self.sets:
                return [Fault("tasters", "A blind list has no sets of glasses.")]
            return [] if len(self.drinks) == 1 else [Fault("drink", "Choose one drink.")]
        if len(self.drinks) != 2:
            return [Fault("drink", "Choose two versions.")]
        if not self.sets:
            return [Fault("tasters", "At least one person has to taste.")]
        if any(len(each.versions) != GLASSES[self.kind] for each in self.sets):
            return [Fault("tasters", "Not as many glasses as this test asks for.")]
        return []

    @property
    def most_tasters(self) -> int:
        """How many can take part."""
        return MOST_PLACES if self.kind == "list" else len(self.sets)


def recipe_key(drink: Drink) -> str:
    """The same for drinks that taste the same: made of the same things in the same way.

    What is said of a drink, what it is called and who drinks it when is left out.
    """
    parts = sorted(
        repr((part.name, part.amount, part.substance, part.brew, part.syrup, part.after_step_id))
        for part in drink.ingredients
    )
    made = [parts, repr(drink.steps), drink.serves, drink.part_ml, drink.service.over_ice]
    return sha256(json.dumps(made).encode()).hexdigest()[:16]
