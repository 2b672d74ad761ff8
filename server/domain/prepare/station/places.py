"""Where things could stand instead: where others stand now, and free places within easy reach."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from server.domain.prepare.station.amiss import over_cm, surface_of, upon_cm
from server.domain.prepare.station.travel import Point, feet_of
from server.domain.routine.station import Spot, Station, Surface

MOST_FREE = 12
FREE_CM = 12.0
"""A free place is so wide and deep."""

STEP_CM = 6.0
ASIDE_CM = 2.0
"""So much room is left between things that are set out."""


def free_places(station: Station, most: int = MOST_FREE) -> list[Point]:
    """Middles of free places on the surfaces, the nearest to the feet first, none on another."""
    taken = list(station.spots)
    found: list[Point] = []
    for at in _nearest(station, FREE_CM, FREE_CM):
        spot = Spot("free", x_cm=at[0], y_cm=at[1], width_cm=FREE_CM, depth_cm=FREE_CM)
        if len(found) < most and _is_free(spot, taken, 0.0):
            taken.append(spot)
            found.append(at)
    return found


def set_down(station: Station, spot: Spot) -> Spot | None:
    """The thing on the nearest free place that it fits; None where there is none."""
    places = _nearest(station, spot.width_cm, spot.depth_cm)
    tried = (_at(spot, place) for place in places)
    return next((each for each in tried if _is_free(each, station.spots, ASIDE_CM)), None)


def set_in_the_middle(station: Station, spot: Spot) -> Spot:
    """The thing in the middle of the first surface, upon whatever stands there."""
    first = station.surfaces[0]
    return _at(spot, (first.x_cm + first.width_cm / 2, first.y_cm + first.depth_cm / 2))


def held_on(station: Station, spot: Spot) -> Spot:
    """The thing moved so that it lies on the surface nearest to it, whole where it fits there."""
    if not station.surfaces:
        return spot
    on = surface_of(station, spot)
    surface = on or min(station.surfaces, key=lambda each: _apart(each, spot))
    return _at(
        spot,
        (
            _within(spot.x_cm, surface.x_cm, surface.width_cm, spot.width_cm),
            _within(spot.y_cm, surface.y_cm, surface.depth_cm, spot.depth_cm),
        ),
    )


def fits_somewhere(station: Station, spot: Spot) -> bool:
    """Whether any surface is large enough for it."""
    return any(
        spot.width_cm <= each.width_cm and spot.depth_cm <= each.depth_cm
        for each in station.surfaces
    )


def _at(spot: Spot, at: Point) -> Spot:
    return replace(spot, x_cm=round(at[0], 1), y_cm=round(at[1], 1))


def _nearest(station: Station, width_cm: float, depth_cm: float) -> list[Point]:
    """Middles at which something so large lies whole on a surface, nearest to the feet first."""
    feet = feet_of(station)
    found = [at for each in station.surfaces for at in _grid(station, each, width_cm, depth_cm)]
    return sorted(found, key=lambda at: math.dist(feet, at))


def _grid(station: Station, surface: Surface, width_cm: float, depth_cm: float) -> Iterator[Point]:
    across = _steps(surface.x_cm, surface.width_cm, width_cm)
    along = _steps(surface.y_cm, surface.depth_cm, depth_cm)
    for x in across:
        for y in along:
            spot = Spot("free", x_cm=x, y_cm=y, width_cm=width_cm, depth_cm=depth_cm)
            # Where surfaces lie on one another, the upper one counts.
            on = surface_of(station, spot)
            if on is not None and over_cm(on, spot) == 0:
                yield x, y


def _steps(begins: float, long: float, size: float) -> list[float]:
    room = long - size
    count = int(room // STEP_CM) if room >= 0 else -1
    rest = (room - count * STEP_CM) / 2
    return [begins + size / 2 + rest + STEP_CM * each for each in range(count + 1)]


def _is_free(spot: Spot, taken: Sequence[Spot], aside_cm: float) -> bool:
    return all(upon_cm(spot, other) <= -aside_cm + 1e-9 for other in taken)


def _within(middle: float, begins: float, long: float, size: float) -> float:
    room = max(long - size, 0.0) / 2
    centre = begins + long / 2
    return min(max(middle, centre - room), centre + room)


def _apart(surface: Surface, spot: Spot) -> float:
    across = max(surface.x_cm - spot.x_cm, spot.x_cm - surface.x_cm - surface.width_cm, 0.0)
    along = max(surface.y_cm - spot.y_cm, spot.y_cm - surface.y_cm - surface.depth_cm, 0.0)
    return math.hypot(across, along)
