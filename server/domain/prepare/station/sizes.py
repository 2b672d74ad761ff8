"""How much room a thing takes until somebody measures it, and whether it is hot or cold.

Assumptions, no source: usual sizes, in centimetres, by the words of a name (English, as singulars).
"""

import math
import re
from typing import Literal

from server.domain.prepare.kit import KitThing
from server.domain.prepare.named_things import words_of
from server.domain.routine.preparing import ThingKind

Size = tuple[float, float, float]
"""Width, depth and height."""

_BY_WORD: dict[str, Size] = {
    "machine": (75, 60, 50),
    "grinder": (20, 35, 45),
    "kettle": (25, 18, 25),
    "flask": (12, 12, 30),
    "carafe": (14, 14, 20),
    "jug": (14, 12, 15),
    "pitcher": (14, 12, 15),
    "tray": (35, 25, 3),
    "scale": (15, 18, 4),
    "jigger": (6, 6, 10),
    "spoon": (4, 30, 2),
    "thermometer": (4, 20, 2),
    "pipette": (4, 15, 2),
    "tong": (6, 20, 2),
    "knife": (4, 25, 2),
    "paper": (12, 12, 8),
    "cone": (14, 14, 12),
    "saucer": (14, 14, 3),
    "bag": (35, 25, 25),
    "ice": (22, 22, 20),
    "sheet": (21, 30, 1),
    "lamp": (15, 15, 30),
    "blender": (20, 20, 40),
    "tincture": (4, 4, 10),
    "peel": (12, 12, 5),
    "salt": (4, 4, 10),
}
_BY_KIND: dict[ThingKind, Size] = {
    "ingredient": (8, 8, 25),
    "glass": (9, 9, 14),
    "tool": (12, 12, 12),
    "water": (15, 15, 25),
    "cloth": (20, 20, 1),
}
_GLASSES_ABREAST = 5
_HOT = frozenset(("boiler", "espresso", "flask", "heat", "hot", "kettle", "stove", "torch"))
_COLD = frozenset(("cold", "cool", "freezer", "fridge", "frozen", "ice"))


def size_of(thing: KitThing) -> Size:
    """Width, depth and height; so many glasses stand in rows of five."""
    words = words_of(thing.name)
    size = next((size for word, size in _BY_WORD.items() if word in words), _BY_KIND[thing.kind])
    if thing.kind != "glass":
        return size
    count = max(1, sum(int(each) for each in re.findall(r"\d{1,3}", thing.how_many)))
    abreast, rows = min(count, _GLASSES_ABREAST), math.ceil(count / _GLASSES_ABREAST)
    return min(abreast * size[0], 100.0), min(rows * size[1], 60.0), size[2]


def heat_of(thing: KitThing) -> Literal["", "hot", "cold"]:
    """Whether a thing is hot or must stay cold, as far as its name tells."""
    words = words_of(thing.name)
    if words & _COLD:
        return "cold"
    return "hot" if words & _HOT else ""
