"""Tools, water and cloths that a routine asks for: by its steps and amounts, or by naming them.

What is named is found by its English word in what the hands do; in another language, and for what
is not listed here, things are added by hand.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from server.domain.base.amounts import VOLUME_UNITS
from server.domain.glass.steps import ON_ICE
from server.domain.prepare.named_things import handled_in
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import ThingKind
from server.domain.routine.routine import Routine

NAMED: dict[str, tuple[ThingKind, str]] = {
    "beaker": ("glass", "Beaker"),
    "carafe": ("glass", "Carafe"),
    "decanter": ("glass", "Decanter"),
    "jug": ("glass", "Jug"),
    "pitcher": ("glass", "Pitcher"),
    "saucer": ("glass", "Saucers"),
    "blender": ("tool", "Blender"),
    "cone": ("tool", "Cone for the paper"),
    "dripper": ("tool", "Dripper"),
    "grater": ("tool", "Grater"),
    "grinder": ("tool", "Grinder"),
    "jigger": ("tool", "Jigger"),
    "kettle": ("tool", "Kettle"),
    "knife": ("tool", "Knife"),
    "muddler": ("tool", "Muddler"),
    "peeler": ("tool", "Peeler"),
    "pipette": ("tool", "Pipette"),
    "scale": ("tool", "Scale"),
    "shaker": ("tool", "Shaker"),
    "siphon": ("tool", "Siphon"),
    "spoon": ("tool", "Long spoon"),
    "strainer": ("tool", "Strainer"),
    "thermometer": ("tool", "Thermometer"),
    "timer": ("tool", "Timer"),
    "tong": ("tool", "Tongs"),
    "torch": ("tool", "Torch"),
    "tray": ("tool", "Tray"),
    "whisk": ("tool", "Whisk"),
    "cloth": ("cloth", "Cloths"),
    "coaster": ("cloth", "Coasters"),
    "napkin": ("cloth", "Napkins"),
    "straw": ("cloth", "Straws"),
    "towel": ("cloth", "Towels"),
}
"""Word in what the hands do -> kind and name of the thing."""

_BY_STEP: dict[str, tuple[str, ...]] = {
    "stir": ("Mixing glass", "Long spoon", "Strainer"),
    "shake": ("Shaker", "Strainer"),
    "blend": ("Blender",),
    "heat": ("Something to heat with",),
    "chill": ("A cold place",),
    "filter": ("Filter or fine strainer",),
}


@dataclass(frozen=True)
class ToolNeed:
    """A thing that something asks for: its kind and name, and the drink or segment that does."""

    kind: ThingKind
    name: str
    drink_id: str | None = None
    segment_id: str | None = None


WARMED_C = 30.0
"""A vessel that is warmer than this was warmed with hot water: no room is."""


def needs_of(routine: Routine) -> Iterator[ToolNeed]:
    """Every thing that recipes, steps and segments ask for, once for each that asks."""
    for drink in routine.drinks:
        yield from (ToolNeed(kind, name, drink.id) for kind, name in _of_drink(drink))
    for segment in routine.segments:
        words = handled_in(segment)
        for word, (kind, name) in NAMED.items():
            if word in words:
                yield ToolNeed(kind, name, segment.drink_id, segment.id)
        if "ice" in words:
            yield ToolNeed("water", "Ice", segment.drink_id, segment.id)
        if "hot" in words and "water" in words:
            yield ToolNeed("water", "Hot water", segment.drink_id, segment.id)


def _of_drink(drink: Drink) -> Iterator[tuple[ThingKind, str]]:
    for step in drink.steps:
        yield from (("tool", name) for name in _BY_STEP.get(step.kind, ()))
        if step.kind in ON_ICE:
            yield "water", "Ice"
    for part in drink.ingredients:
        yield from _of_part(part)
    service = drink.service
    if service.stated_c is not None:
        yield "tool", "Thermometer"
    if service.vessel and (service.vessel.temp_c or 0.0) > WARMED_C:
        yield "water", "Hot water"
    yield "water", "Cold water"
    yield "cloth", "Cloths"
    yield "cloth", "Declaration sheets"


def _of_part(part: Ingredient) -> Iterator[tuple[ThingKind, str]]:
    unit = part.amount.unit
    if unit == "drop":
        yield "tool", "Pipette"
    elif unit in VOLUME_UNITS and unit not in ("tsp", "tbsp"):
        yield "tool", "Jigger"
    elif unit == "barspoon":
        yield "tool", "Long spoon"
    if part.amount.mass_g is not None or part.brew is not None:
        yield "tool", "Scale"
    # An espresso machine has its own water; an immersion may need no paper.
    if part.brew is not None and part.brew.kind != "espresso":
        yield "tool", "Kettle"
        yield "water", "Hot water"
    if part.brew is not None and part.brew.kind == "drip":
        yield "tool", "Filter papers"
