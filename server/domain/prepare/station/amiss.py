"""What is amiss with where things stand: off the bar, on one another, hot by cold, in the way."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Literal

from server.domain.prepare.station.sizes import heat_of
from server.domain.prepare.station.uses import Stood
from server.domain.routine.station import Spot, Station, Surface

AmissKind = Literal["beside", "over", "upon", "hot", "hidden"]

SLIP_CM = 0.5
"""So much is a slip of the hand."""


@dataclass(frozen=True)
class Amiss:
    """Something that is amiss with a thing, by so many cm, and with which other.

    beside: it stands on no surface. over: it hangs over an edge. upon: two stand on one another.
    hot: a hot thing is nearer to a cold one than it should be (`other`). hidden: `other` stands
    between a pour and the judges and is taller.
    """

    kind: AmissKind
    spot_id: str
    by_cm: float = 0.0
    other_id: str = ""


def amiss_of(station: Station, stood: Sequence[Stood], pours: Iterable[str]) -> tuple[Amiss, ...]:
    """All that is amiss, in the order of the kinds above."""
    found = [*_off(station, stood)]
    for one, other in combinations(stood, 2):
        deep = upon_cm(one.spot, other.spot)
        if deep > SLIP_CM:
            found.append(Amiss("upon", one.spot.id, deep, other.spot.id))
    for one in stood:
        for other in stood:
            if too_near(station, one, other):
                near_cm = gap_cm(one.spot, other.spot)
                found.append(Amiss("hot", one.spot.id, near_cm, other.spot.id))
    poured = set(pours)
    for one in stood:
        if one.spot.id in poured:
            found += [
                Amiss("hidden", one.spot.id, other_id=other.spot.id)
                for other in stood
                if hides(station, one.spot, other.spot)
            ]
    return tuple(found)


def surface_of(station: Station, spot: Spot) -> Surface | None:
    """The surface under the middle of a thing; the last one where several lie on one another."""
    return next(
        (
            each
            for each in reversed(station.surfaces)
            if each.x_cm <= spot.x_cm <= each.x_cm + each.width_cm
            and each.y_cm <= spot.y_cm <= each.y_cm + each.depth_cm
        ),
        None,
    )


def over_cm(surface: Surface, spot: Spot) -> float:
    """How far a thing hangs over the edge of a surface; 0 if it does not."""
    sides = (
        surface.x_cm - spot.x_cm + spot.width_cm / 2,
        spot.x_cm + spot.width_cm / 2 - surface.x_cm - surface.width_cm,
        surface.y_cm - spot.y_cm + spot.depth_cm / 2,
        spot.y_cm + spot.depth_cm / 2 - surface.y_cm - surface.depth_cm,
    )
    return max(0.0, *sides)


def upon_cm(one: Spot, other: Spot) -> float:
    """How deep two things stand in one another; 0 or less where they stand free."""
    return min(
        (one.width_cm + other.width_cm) / 2 - abs(one.x_cm - other.x_cm),
        (one.depth_cm + other.depth_cm) / 2 - abs(one.y_cm - other.y_cm),
    )


def gap_cm(one: Spot, other: Spot) -> float:
    """The room between two things; 0 where they touch."""
    across = abs(one.x_cm - other.x_cm) - (one.width_cm + other.width_cm) / 2
    along = abs(one.y_cm - other.y_cm) - (one.depth_cm + other.depth_cm) / 2
    return math.hypot(max(across, 0.0), max(along, 0.0))


def too_near(station: Station, hot: Stood, cold: Stood) -> bool:
    """Whether a hot thing stands too near to one that must stay cold."""
    if heat_at(hot) != "hot" or heat_at(cold) != "cold":
        return False
    return gap_cm(hot.spot, cold.spot) < station.apart_cm


def hides(station: Station, poured: Spot, other: Spot) -> bool:
    """Whether something taller stands between what is poured into and the judges' side."""
    if other.id == poured.id or other.height_cm <= poured.height_cm:
        return False
    across, along = other.x_cm - poured.x_cm, other.y_cm - poured.y_cm
    return bool(before_it(station, poured, other, across, along))


def before_it(station: Station, poured: Spot, other: Spot, across: Any, along: Any) -> Any:  # noqa: ANN401
    """Whether a thing stands before another, seen from the judges, at these distances from it.

    `across` and `along` are its x and y less those of the other; arrays of them will do as well.
    """
    if station.judges == "across":
        return (abs(across) < (other.width_cm + poured.width_cm) / 2) & (along < 0)
    in_line = abs(along) < (other.depth_cm + poured.depth_cm) / 2
    return in_line & (across < 0 if station.judges == "left" else across > 0)


def heat_at(each: Stood) -> str:
    """Whether a thing is hot or cold, as the person says or its name tells."""
    return each.spot.heat or heat_of(each.thing)


def _off(station: Station, stood: Sequence[Stood]) -> Iterator[Amiss]:
    for each in stood:
        surface = surface_of(station, each.spot)
        if surface is None:
            yield Amiss("beside", each.spot.id)
        elif (over := over_cm(surface, each.spot)) > SLIP_CM:
            yield Amiss("over", each.spot.id, over)
