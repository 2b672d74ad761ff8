"""The bar from above as it is drawn: everything in units of a picture that is 1,000 wide."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from server.domain.prepare.station.amiss import heat_at
from server.domain.prepare.station.setting_up import where_words
from server.domain.prepare.station.travel import Point, feet_of
from server.domain.prepare.station.uses import Stood, Use
from server.domain.routine.routine import Routine
from server.domain.routine.station import Station
from server.web.prepare.kit_view import short_name, tints_of

if TYPE_CHECKING:
    from server.domain.prepare.station.better import PlaceMove

WIDE = 1000.0
MARGIN = 12.0
HEAD = 56.0
"""Above the bar: where the judges are."""

LETTER = 11.0
"""Width of a letter, with some air."""

LINE = 24.0
FAR_LETTER, FAR_LINE = 30.0, 48.0
"""Letters and lines of the numbers where the whole bar is shown on a phone."""

MOST_HEIGHT = 640.0
FEET_CM = 14.0

JUDGES = {
    "across": ("Judges", "middle"),
    "left": ("← Judges", "start"),
    "right": ("Judges →", "end"),
}


@dataclass(frozen=True)
class Box:
    """A rectangle with words; `name` is drawn where there is room for it."""

    x: float
    y: float
    width: float
    height: float
    name: str


@dataclass(frozen=True)
class Tile(Box):
    """A thing on the plan; `x_cm` and `y_cm` are where its middle is.

    `far_y` is where its number stands when the whole bar is small, None where others have the room.
    """

    spot_id: str
    number: int
    label: str
    tint: str
    heat: str
    state: str
    x_cm: float
    y_cm: float
    numbered_y: float
    far_y: float | None = None


@dataclass(frozen=True)
class WalkedWay:
    """A line from one place to another; `weight` is how wide it is drawn."""

    x1: float
    y1: float
    x2: float
    y2: float
    weight: float


@dataclass(frozen=True)
class Drawing:
    """The whole picture; `scale` is units to a centimetre, `judges` the words and how they lie."""

    height: float
    scale: float
    surfaces: tuple[Box, ...]
    tiles: tuple[Tile, ...]
    ways: tuple[WalkedWay, ...]
    moves: tuple[WalkedWay, ...]
    ends: tuple[Box, ...]
    feet: Point
    reach: float
    judges: tuple[str, str, float]
    bar: Box
    """All surfaces from corner to corner: where a photograph lies under the plan."""


@dataclass(frozen=True)
class _Frame:
    """From which point, and how large."""

    x_cm: float
    y_cm: float
    scale: float

    def at(self, point: Point) -> Point:
        return (
            round(MARGIN + (point[0] - self.x_cm) * self.scale, 1),
            round(HEAD + (point[1] - self.y_cm) * self.scale, 1),
        )


def drawing_of(
    routine: Routine,
    ordered: Sequence[Stood],
    uses: Sequence[Use],
    moves: "Sequence[PlaceMove]",
    states: Mapping[str, str],
) -> Drawing:
    """The plan; `states` are classes of things that are looked at or amiss, by their spot."""
    station = routine.preparation.station
    low, high = _bounds(station)
    scale = min((WIDE - 2 * MARGIN) / (high[0] - low[0]), (MOST_HEIGHT - HEAD) / (high[1] - low[1]))
    # In the middle, where it is narrower than the picture.
    aside = (WIDE - 2 * MARGIN) / scale - (high[0] - low[0])
    frame = _Frame(low[0] - aside / 2, low[1], scale)
    places = {each.spot.id: frame.at((each.spot.x_cm, each.spot.y_cm)) for each in ordered}
    tints = tints_of(routine)
    words, anchor = JUDGES[station.judges]
    return Drawing(
        height=round(HEAD + (high[1] - low[1]) * scale + MARGIN, 1),
        scale=scale,
        surfaces=tuple(
            _box(frame, (each.x_cm, each.y_cm), each.width_cm, each.depth_cm, each.name)
            for each in station.surfaces
        ),
        tiles=_numbered_from_afar(
            [
                _tile(frame, station, each, number, tints, states)
                for number, each in enumerate(ordered, 1)
            ]
        ),
        ways=_ways(places, uses),
        moves=tuple(_way(frame.at(move.start), frame.at(move.end), 3.0) for move in moves),
        ends=tuple(_end(frame, each, moves) for each in _moved(ordered, moves)),
        feet=frame.at(feet_of(station)),
        reach=round(station.reach_cm * scale, 1),
        judges=(words, anchor, {"start": MARGIN, "middle": WIDE / 2, "end": WIDE - MARGIN}[anchor]),
        bar=_whole(frame, station),
    )


def _whole(frame: _Frame, station: Station) -> Box:
    left = min(each.x_cm for each in station.surfaces)
    far = min(each.y_cm for each in station.surfaces)
    width_cm = max(each.x_cm + each.width_cm for each in station.surfaces) - left
    depth_cm = max(each.y_cm + each.depth_cm for each in station.surfaces) - far
    return _box(frame, (left, far), width_cm, depth_cm, "")


def _bounds(station: Station) -> tuple[Point, Point]:
    feet = feet_of(station)
    xs = [feet[0] - FEET_CM, feet[0] + FEET_CM]
    ys = [feet[1], feet[1] + FEET_CM]
    for each in station.surfaces:
        xs += [each.x_cm, each.x_cm + each.width_cm]
        ys += [each.y_cm, each.y_cm + each.depth_cm]
    for spot in station.spots:
        xs += [spot.x_cm - spot.width_cm / 2, spot.x_cm + spot.width_cm / 2]
        ys += [spot.y_cm - spot.depth_cm / 2, spot.y_cm + spot.depth_cm / 2]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _box(frame: _Frame, corner: Point, width_cm: float, depth_cm: float, name: str) -> Box:
    x, y = frame.at(corner)
    width, height = round(width_cm * frame.scale, 1), round(depth_cm * frame.scale, 1)
    return Box(x, y, width, height, name if len(name) * LETTER < width else "")


def _tile(
    frame: _Frame,
    station: Station,
    each: Stood,
    number: int,
    tints: Mapping[str, str],
    states: Mapping[str, str],
) -> Tile:
    spot, name = each.spot, short_name(each.thing.name)
    corner = spot.x_cm - spot.width_cm / 2, spot.y_cm - spot.depth_cm / 2
    box = _box(frame, corner, spot.width_cm, spot.depth_cm, name)
    is_named = box.name != "" and box.height >= 2 * LINE
    middle = box.y + box.height / 2
    return Tile(
        box.x,
        box.y,
        box.width,
        box.height,
        name if is_named else "",
        spot.id,
        number,
        f"{number} {name}, {where_words(station, each)}",
        tints[each.thing.drink_ids[0]] if len(each.thing.drink_ids) == 1 else "no-drink",
        heat_at(each),
        states.get(spot.id, ""),
        spot.x_cm,
        spot.y_cm,
        round(middle - LINE / 4 if is_named else middle + 7, 1),
    )


def _numbered_from_afar(tiles: Sequence[Tile]) -> tuple[Tile, ...]:
    """With large numbers, as many as do not cover one another; the largest things have theirs."""
    taken: list[Box] = []
    for tile in sorted(tiles, key=lambda each: (not each.state, -each.width * each.height)):
        width = FAR_LETTER * len(str(tile.number))
        middle_x, middle_y = tile.x + tile.width / 2, tile.y + tile.height / 2
        box = Box(middle_x - width / 2, middle_y - FAR_LINE / 2, width, FAR_LINE, tile.spot_id)
        if not any(_overlap(box, other) for other in taken):
            taken.append(box)
    feet = {box.name: round(box.y + FAR_LINE * 0.85, 1) for box in taken}
    return tuple(replace(tile, far_y=feet.get(tile.spot_id)) for tile in tiles)


def _overlap(one: Box, other: Box) -> bool:
    across = one.x < other.x + other.width and other.x < one.x + one.width
    return across and one.y < other.y + other.height and other.y < one.y + one.height


def _ways(places: Mapping[str, Point], uses: Sequence[Use]) -> tuple[WalkedWay, ...]:
    """The ways of the hands, each once; the more often, the wider."""
    counts: dict[frozenset[str], int] = {}
    for one, other in pairwise(uses):
        if one.spot_id != other.spot_id:
            pair = frozenset((one.spot_id, other.spot_id))
            counts[pair] = counts.get(pair, 0) + 1
    found = []
    for pair, count in counts.items():
        one_id, other_id = sorted(pair)
        found.append(_way(places[one_id], places[other_id], 1.0 + count))
    return tuple(found)


def _way(one: Point, other: Point, weight: float) -> WalkedWay:
    return WalkedWay(*one, *other, weight)


def _moved(ordered: Sequence[Stood], moves: "Collection[PlaceMove]") -> list[Stood]:
    ids = {move.spot_id for move in moves}
    return [each for each in ordered if each.spot.id in ids]


def _end(frame: _Frame, each: Stood, moves: "Sequence[PlaceMove]") -> Box:
    end = next(move.end for move in moves if move.spot_id == each.spot.id)
    corner = end[0] - each.spot.width_cm / 2, end[1] - each.spot.depth_cm / 2
    return _box(frame, corner, each.spot.width_cm, each.spot.depth_cm, "")
