"""The bar from above, as the person measures it: surfaces, where things stand, who stands where.

All lengths are centimetres. x goes to the right and y towards the person, from a corner that the
person chooses; a thing's place is that of its middle. What follows from it (travel, reach, what is
in the way) is worked out in `server.domain.prepare.station`.
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Between, limit_faults
from server.domain.base.text import Line, Name

Hand = Literal["right", "left"]
Side = Literal["across", "left", "right"]
Heat = Literal["", "hot", "cold", "neither"]
Holds = Literal["", "right", "left"]

MOST_SURFACES = 8
MOST_SPOTS = 80
FARTHEST_CM = 1000.0

Along = Annotated[float, Between(0, FARTHEST_CM, "Between 0 and 1,000 cm.")]
Long = Annotated[float, Between(1, FARTHEST_CM, "Between 1 and 1,000 cm.")]


@dataclass(frozen=True)
class Surface(Document):
    """Something that things stand on; x and y are those of its corner at the left and far side."""

    id: Id
    name: Name
    width_cm: Long = 180.0
    depth_cm: Long = 60.0
    x_cm: Along = 0.0
    y_cm: Along = 0.0

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self, **_CM))


OWN = "own:"
"""How the key of a thing begins that was added by hand; what follows is its id."""


def own_key(thing_id: str) -> str:
    """The key in the kit of a thing that was added by hand."""
    return f"{OWN}{thing_id}"


@dataclass(frozen=True)
class Spot(Document):
    """Where a thing of the kit stands, and how much room it takes there.

    `thing` is its key in the kit; for one added by hand `thing_id` says which, and `thing` is "".
    `heat` and `hand` are "" where the kind of thing tells; `stays` says that it cannot be moved.
    """

    id: Id
    thing: Line = ""
    thing_id: Id | None = None
    x_cm: Along = 0.0
    y_cm: Along = 0.0
    width_cm: Long = 10.0
    depth_cm: Long = 10.0
    height_cm: Annotated[float, Between(0, 300, "Between 0 and 300 cm.")] = 15.0
    heat: Heat = ""
    hand: Holds = ""
    stays: bool = False

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self, **_CM))

    @property
    def key(self) -> str:
        """The key of its thing in the kit."""
        return self.thing if self.thing_id is None else own_key(self.thing_id)


@dataclass(frozen=True)
class Station(Document):
    """The whole plan. The feet stand in the middle before the first surface unless they are given.

    `reach_cm` is measured once: from the middle of the body to what a hand takes without leaning.
    Hot things stand `apart_cm` from cold ones at least.
    """

    surfaces: Annotated[
        tuple[Surface, ...], AtMost(MOST_SURFACES, "At most {} surfaces fit here.")
    ] = ()
    spots: Annotated[tuple[Spot, ...], AtMost(MOST_SPOTS, "At most {} things fit here.")] = ()
    hand: Hand = "right"
    """The hand that pours."""
    judges: Side = "across"
    reach_cm: Annotated[float, Between(20, 150, "A reach lies between 20 and 150 cm.")] = 70.0
    apart_cm: Annotated[float, Between(0, 200, "Between 0 and 200 cm.")] = 15.0
    feet_x_cm: Along | None = None
    feet_y_cm: Along | None = None

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(
            self, surfaces="name", spots="thing", reach_cm="reach", apart_cm="apart",
            feet_x_cm="feet_x", feet_y_cm="feet_y",
        )  # fmt: skip
        ids = [each.id for each in self.surfaces] + [spot.id for spot in self.spots]
        if len(set(ids)) < len(ids):
            faults.append(Fault("id", "Two parts carry the same id."))
        keys = [spot.key for spot in self.spots]
        if len(set(keys)) < len(keys):
            faults.append(Fault("thing", "One thing stands in two places."))
        return faults


NOTHING_PLACED = Station()

_CM = {
    "x_cm": "x", "y_cm": "y", "width_cm": "width", "depth_cm": "depth", "height_cm": "height",
}  # fmt: skip
