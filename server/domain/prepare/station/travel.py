"""How far hands and feet go through a routine, and which reaches are beyond comfort.

A model, and said to be one: a hand goes straight from each thing to the next; the feet stand at one
place, step along the bar only as far as a thing needs to come within reach, and come back after it.
It is the same for every arrangement, so that two can be held against each other.
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from server.domain.prepare.station.motions import motion_s
from server.domain.prepare.station.uses import Stood, Use, by_id
from server.domain.routine.station import Station

Point = tuple[float, float]

BEFORE_CM = 20.0
"""The feet stand so far before the first surface, unless the person says where."""

ARMS_CM = 5.0
"""Arms cross where the left hand is so much farther to the right than the right one."""


@dataclass(frozen=True)
class Far:
    """A thing beyond reach from where the feet stand, by so much, taken so many times.

    With `is_out` it is out of reach however one steps along the bar.
    """

    spot_id: str
    beyond_cm: float
    times: int
    is_out: bool


@dataclass(frozen=True)
class Crossing:
    """Two things that are taken one after the other with crossed arms, so many times."""

    left_spot_id: str
    right_spot_id: str
    times: int


@dataclass(frozen=True)
class Travel:
    """The way of hands and feet in centimetres; `by_segment` holds both together.

    `table_s` is what a published table says that it takes.
    """

    hands_cm: float
    feet_cm: float
    table_s: float
    by_segment: dict[str, float]
    far: tuple[Far, ...]
    crossings: tuple[Crossing, ...]

    @property
    def all_cm(self) -> float:
        """Hands and feet together."""
        return self.hands_cm + self.feet_cm


def feet_of(station: Station) -> Point:
    """Where the feet stand."""
    x, y = 0.0, 0.0
    if station.surfaces:
        first = station.surfaces[0]
        x = first.x_cm + first.width_cm / 2
        y = first.y_cm + first.depth_cm + BEFORE_CM
    given_x, given_y = station.feet_x_cm, station.feet_y_cm
    return (x if given_x is None else given_x, y if given_y is None else given_y)


def step_to(feet: Point, reach_cm: float, at: Point) -> float:
    """The x to which the feet step so that a point comes within reach, or as near as it can."""
    across, along = abs(at[1] - feet[1]), at[0] - feet[0]
    free = math.sqrt(max(reach_cm**2 - across**2, 0.0))
    return feet[0] if abs(along) <= free else at[0] - math.copysign(free, along)


def travel_of(station: Station, stood: Sequence[Stood], uses: Sequence[Use]) -> Travel:
    """The travel of all uses in their order, from the place where one stands."""
    feet, reach_cm, known = feet_of(station), station.reach_cm, by_id(stood)
    hand, standing = feet, feet[0]
    hands_cm = feet_cm = table_s = 0.0
    by_segment: dict[str, float] = {}
    for use in uses:
        at = place_of(known[use.spot_id])
        stands = step_to(feet, reach_cm, at)
        reached, stepped = math.dist(hand, at), abs(stands - standing)
        hands_cm, feet_cm = hands_cm + reached, feet_cm + stepped
        table_s += motion_s(reached, stepped)
        by_segment[use.segment_id] = by_segment.get(use.segment_id, 0.0) + reached + stepped
        hand, standing = at, stands
    far, crossed = _far(station, known, uses), _crossed(known, uses)
    return Travel(hands_cm, feet_cm, table_s, by_segment, far, crossed)


def place_of(each: Stood) -> Point:
    """Where the middle of a thing is."""
    return each.spot.x_cm, each.spot.y_cm


def _far(station: Station, known: dict[str, Stood], uses: Sequence[Use]) -> tuple[Far, ...]:
    feet, reach_cm = feet_of(station), station.reach_cm
    times = Counter(use.spot_id for use in uses)
    found = []
    for spot_id, count in times.items():
        at = place_of(known[spot_id])
        beyond_cm = math.dist(feet, at) - reach_cm
        if beyond_cm >= 0.5:
            found.append(Far(spot_id, beyond_cm, count, abs(at[1] - feet[1]) > reach_cm))
    return tuple(sorted(found, key=lambda each: (-each.is_out, -each.beyond_cm * each.times)))


def _crossed(known: dict[str, Stood], uses: Sequence[Use]) -> tuple[Crossing, ...]:
    pairs = (
        crossing_of(known[one.spot_id], known[other.spot_id])
        for one, other in pairwise(uses)
        if one.segment_id == other.segment_id
    )
    counted = Counter(pair for pair in pairs if pair is not None)
    found = (Crossing(left, right, times) for (left, right), times in counted.items())
    return tuple(sorted(found, key=lambda each: -each.times))


def crossing_of(one: Stood, other: Stood) -> tuple[str, str] | None:
    """The ids of the left and the right hand's thing where arms cross between the two."""
    if one.hand == other.hand:
        return None
    left, right = (one, other) if one.hand == "left" else (other, one)
    if left.spot.x_cm - right.spot.x_cm <= ARMS_CM:
        return None
    return left.spot.id, right.spot.id
