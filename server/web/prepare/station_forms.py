"""The forms of the station: the bar and its person, a surface, a thing where it stands."""

from collections.abc import Mapping
from dataclasses import replace

from server.domain.base.numbers import write_number
from server.domain.prepare.kit import KitThing
from server.domain.prepare.station.amiss import surface_of
from server.domain.prepare.station.places import fits_somewhere
from server.domain.prepare.station.sizes import size_of
from server.domain.prepare.station.travel import feet_of
from server.domain.routine.edits import part_of, put
from server.domain.routine.routine import Routine
from server.domain.routine.station import (
    FARTHEST_CM,
    Hand,
    Heat,
    Holds,
    Side,
    Spot,
    Station,
    Surface,
)
from server.store.ids import new_id
from server.web.frame.editing import NEW
from server.web.frame.forms import Typed
from server.web.frame.guard import Values
from server.web.prepare.outside import OUTSIDE, outside_values

BAR = "bar"
PHOTOGRAPH = "photograph"
SURFACE = "surface-"
SPOT = "spot-"

HANDS: dict[Hand, str] = {"right": "the right hand", "left": "the left hand"}
SIDES: dict[Side, str] = {
    "across": "across the bar",
    "left": "to your left",
    "right": "to your right",
}
HEATS: dict[Heat, str] = {
    "": "as its name tells",
    "hot": "hot",
    "cold": "must stay cold",
    "neither": "neither",
}
HOLDS: dict[Holds, str] = {
    "": "as is usual",
    "right": "the right hand",
    "left": "the left hand",
}
_RIGHT: Hand = "right"
_ACROSS: Side = "across"
_TOLD: Heat = ""
_USUAL: Holds = ""


def station_values(routine: Routine, edit: str) -> Values:
    """The texts with which the open form starts; `edit` names it."""
    station = routine.preparation.station
    if edit == OUTSIDE:
        return outside_values(routine.preparation)
    if edit == PHOTOGRAPH:
        return {}
    if edit == BAR:
        return _bar_values(station)
    kind, _, part_id = edit.partition("-")
    if kind == "surface":
        surface = _next_surface(station) if part_id == NEW else part_of(station.surfaces, part_id)
        return {
            "name": surface.name,
            "width": write_number(surface.width_cm),
            "depth": write_number(surface.depth_cm),
            "x": write_number(surface.x_cm),
            "y": write_number(surface.y_cm),
        }
    return _spot_values(station, part_of(station.spots, part_id))


def with_bar(typed: Typed, station: Station) -> Station:
    """The station with what the form of the bar says of its person."""
    reach_cm = typed.number("reach", 20, 150)
    apart_cm = typed.number("apart", 0, 200)
    feet_x, feet_y = (typed.optional_number(name, 0, FARTHEST_CM) for name in ("feet_x", "feet_y"))
    return typed.built(
        lambda: replace(
            station,
            hand=typed.chosen("hand", HANDS, _RIGHT),
            judges=typed.chosen("judges", SIDES, _ACROSS),
            reach_cm=reach_cm,
            apart_cm=apart_cm,
            feet_x_cm=feet_x,
            feet_y_cm=feet_y,
        )
    )


def with_surface(typed: Typed, station: Station, surface_id: str) -> Station:
    """The station with a surface as the form describes it; what stands on it goes with it."""
    width, depth = (typed.number(name, 1, FARTHEST_CM) for name in ("width", "depth"))
    x, y = (typed.number(name, 0, FARTHEST_CM) for name in ("x", "y"))
    surface = typed.built(lambda: Surface(surface_id, typed.text("name"), width, depth, x, y))
    was = next((each for each in station.surfaces if each.id == surface_id), None)
    spots = station.spots
    if was is not None:
        spots = tuple(_carried(station, each, was, surface) for each in spots)
    return replace(station, surfaces=put(station.surfaces, surface), spots=spots)


def with_spot(typed: Typed, station: Station, spot_id: str) -> Station:
    """The station with a thing where the form says that it stands."""
    held = part_of(station.spots, spot_id)
    left, far = (typed.number(name, -FARTHEST_CM, FARTHEST_CM) for name in ("left", "far"))
    width, depth = (typed.number(name, 1, FARTHEST_CM) for name in ("width", "depth"))
    height = typed.number("height", 0, 300)
    x, y = _corner(station, typed.text("surface"))
    spot = typed.built(
        lambda: replace(
            held,
            x_cm=x + left,
            y_cm=y + far,
            width_cm=width,
            depth_cm=depth,
            height_cm=height,
            heat=typed.chosen("heat", HEATS, _TOLD),
            hand=typed.chosen("holds", HOLDS, _USUAL),
            stays=typed.ticked("stays"),
        )
    )
    if not fits_somewhere(station, spot):
        typed.fault("width", "No surface of your bar is that large.")
        typed.check()
    return replace(station, spots=put(station.spots, spot))


def surface_names(station: Station) -> Mapping[str, str]:
    """Id of a surface -> its name, where one is chosen."""
    return {each.id: each.name for each in station.surfaces}


def _bar_values(station: Station) -> Values:
    feet = feet_of(station)
    return {
        "hand": station.hand,
        "judges": station.judges,
        "reach": write_number(station.reach_cm),
        "apart": write_number(station.apart_cm),
        "feet_x": "" if station.feet_x_cm is None else write_number(feet[0]),
        "feet_y": "" if station.feet_y_cm is None else write_number(feet[1]),
    }


def _next_surface(station: Station) -> Surface:
    """A further one is proposed at the right of those there are."""
    if not station.surfaces:
        return Surface(NEW, "Bar")
    last = max(station.surfaces, key=lambda each: each.x_cm + each.width_cm)
    x_cm = min(last.x_cm + last.width_cm, FARTHEST_CM)
    return Surface(NEW, "Side", 60.0, last.depth_cm, x_cm, last.y_cm)


def _spot_values(station: Station, spot: Spot) -> Values:
    surface = surface_of(station, spot) or (station.surfaces[0] if station.surfaces else None)
    x, y = (surface.x_cm, surface.y_cm) if surface else (0.0, 0.0)
    return {
        "surface": surface.id if surface else "",
        "left": write_number(round(spot.x_cm - x, 1)),
        "far": write_number(round(spot.y_cm - y, 1)),
        "width": write_number(spot.width_cm),
        "depth": write_number(spot.depth_cm),
        "height": write_number(spot.height_cm),
        "heat": spot.heat,
        "holds": spot.hand,
        **({"stays": "yes"} if spot.stays else {}),
    }


def _carried(station: Station, spot: Spot, was: Surface, now: Surface) -> Spot:
    if surface_of(station, spot) != was:
        return spot
    x, y = spot.x_cm + now.x_cm - was.x_cm, spot.y_cm + now.y_cm - was.y_cm
    return replace(spot, x_cm=min(max(x, 0.0), FARTHEST_CM), y_cm=min(max(y, 0.0), FARTHEST_CM))


def _corner(station: Station, surface_id: str) -> tuple[float, float]:
    found = [each for each in station.surfaces if each.id == surface_id] or station.surfaces[:1]
    return (found[0].x_cm, found[0].y_cm) if found else (0.0, 0.0)


def new_spot(thing: KitThing) -> Spot:
    """A thing of the kit as it is set out first, as large as its kind usually is."""
    width, depth, height = size_of(thing)
    return Spot(
        new_id(),
        "" if thing.thing_id else thing.key,
        thing.thing_id,
        width_cm=width,
        depth_cm=depth,
        height_cm=height,
    )
