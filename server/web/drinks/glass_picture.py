"""The glass itself, filled to the volume of a serve: its parts as bands, with lines to their rows.

Glasses are bodies of rotation: a band is as high as its share of the volume makes it there.
"""

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

ROW = 48
"""Height of a row of the list beside the picture, in its units and in CSS px."""

WIDTH = 236
TONES = 6
_ELBOW_X = 224.0
_SLICES = 90

Shape = Literal["cup", "stem", "tumbler"]

_PROFILES: dict[Shape, tuple[tuple[float, float], ...]] = {
    "cup": ((0, 52), (0.015, 60), (0.04, 65.5), (0.1, 71), (0.2, 73.5), (0.4, 75.5), (0.7, 79.5),
            (1, 86)),
    "stem": ((0, 8), (0.017, 22), (0.05, 39), (0.09, 52), (0.15, 62), (0.25, 75), (0.35, 82.5),
             (0.5, 88), (0.6, 88), (0.75, 83), (1, 74)),
    "tumbler": ((0, 60), (0.02, 65), (0.05, 67), (1, 80)),
}  # fmt: skip
"""Shape -> height from the bottom, of 1, and half of the width there."""

_PLACES: dict[Shape, tuple[float, float, float, float]] = {
    "cup": (116, 54, 268, 300),
    "stem": (104, 40, 255, 352),
    "tumbler": (110, 40, 268, 300),
}
"""Shape -> middle, top and bottom of its inside, and how much height all of it needs."""

_USUAL_ML = (60, 90, 120, 160, 200, 250, 300, 350, 400, 450, 500, 600, 750, 1000)
_USUAL_FILL = 0.85
_CUBE = 34.0
"""Side of a piece of ice, as the template draws it."""
_CUBE_ML, _MOST_CUBES = 25.0, 9
"""What a usual piece takes (common practice, no source), and how many are drawn at the most."""
_IN_A_ROW = ((-0.8, 4, -11), (0.05, 1, 9), (0.85, 5, -6))
"""Pieces side by side: how far from the middle, how much lower, and how they are turned."""


@dataclass(frozen=True)
class Filling:
    """What goes into the glass: `ml` None where it has no volume (a peel, an unknown amount).

    `ice` is that which is not blended: it stands in the glass, or was shaken with and stays away.
    """

    title: str
    ml: float | None
    needs: bool = False
    is_water: bool = False
    ice: Literal["", "in it", "away"] = ""


@dataclass(frozen=True)
class Band:
    """A part as a band: the points of its polygon, and how it is drawn."""

    points: str
    tone: str
    title: str


@dataclass(frozen=True)
class Lead:
    """A line from a part in the glass to its row."""

    x: float
    y: float
    row_y: float
    needs: bool
    is_above: bool = False
    """Whether it comes from the surface: it then keeps clear of what is below."""

    @property
    def path(self) -> str:
        """The line as the path of an SVG."""
        aside = f"H{_ELBOW_X - 12}" if self.is_above else ""
        return f"M{self.x} {self.y}{aside}L{_ELBOW_X} {self.row_y}H{WIDTH}"


@dataclass(frozen=True)
class Cube:
    """A piece of ice: the middle of it, and how it is turned, in degrees."""

    x: float
    y: float
    turned: int


@dataclass(frozen=True)
class GlassPicture:
    """A glass to draw; `down` moves the vessel, which is lower than its list."""

    shape: Shape
    height: int
    down: float
    outline: str
    bands: tuple[Band, ...]
    surface: tuple[float, float, float]
    """The level: its y, its left and its right end."""
    leads: tuple[Lead, ...]
    has_peel: bool
    size_ml: float
    """What the vessel is drawn to hold."""
    cubes: tuple[Cube, ...] = ()
    """The ice that it stands over."""


def shape_of(name: str, material: str) -> Shape:
    """How a vessel of that name and material looks."""
    words = name.casefold()
    if any(each in words for each in ("stem", "coupe", "wine", "flute", "martini", "tulip")):
        return "stem"
    if any(each in words for each in ("cup", "mug", "bowl")):
        return "cup"
    return "cup" if material in ("porcelain", "stoneware", "paper") else "tumbler"


def usual_size_ml(serve_ml: float) -> float:
    """The size of vessel that a serve is usually given in; ours, to draw it."""
    enough = (size for size in _USUAL_ML if size * _USUAL_FILL >= serve_ml)
    return next(enough, serve_ml / _USUAL_FILL)


def picture_of(
    fillings: Sequence[Filling],
    serve_ml: float,
    shape: Shape,
    ice_ml: float | None = None,
    holds_ml: float | None = None,
) -> GlassPicture:
    """The picture of one serve; `fillings` stand in the order of the list beside it.

    `ice_ml` is the room that the ice it stands over takes, None where it stands over none.
    """
    filled_ml = serve_ml + (ice_ml or 0.0)
    size_ml = holds_ml or usual_size_ml(filled_ml)
    body = _Body(shape, max(_PLACES[shape][3], ROW * len(fillings)), filled_ml, size_ml)
    stands_over = ice_ml is not None or any(each.ice == "in it" for each in fillings)
    cubes = body.cubes(ice_ml or 0.0) if stands_over else ()
    total_ml = sum(each.ml or 0.0 for each in fillings)
    bands: list[Band] = []
    leads: list[Lead] = []
    above = total_ml
    peels = 0
    for number, each in enumerate(fillings):
        row_y = ROW * (number + 0.5)
        if each.ice == "away":
            continue
        if each.ice:
            nearest = max(cubes, key=lambda cube: cube.x)
            leads.append(Lead(nearest.x, nearest.y, row_y, each.needs, True))
            continue
        if not each.ml or not total_ml:
            leads.append(
                Lead(body.middle + 22 - 14 * peels, body.level - 9, row_y, each.needs, True)
            )
            peels += 1
            continue
        top, bottom = body.y_of(above / total_ml), body.y_of((above - each.ml) / total_ml)
        above -= each.ml
        tone = "water" if each.is_water else f"tone-{len(bands) % TONES}"
        bands.append(Band(body.slab(top, bottom), tone, each.title))
        inside = (top + bottom) / 2
        x = round(body.middle + max(body.half_at(inside) - 9, 2), 1)
        leads.append(Lead(x, round(inside, 1), row_y, each.needs))
    half = body.half_at(body.level) - 2
    return GlassPicture(
        shape=shape,
        height=body.height,
        down=body.down,
        outline=body.outline(),
        bands=tuple(bands),
        surface=(round(body.level, 1), body.middle - round(half, 1), body.middle + round(half, 1)),
        leads=tuple(leads),
        has_peel=peels > 0,
        size_ml=size_ml,
        cubes=cubes,
    )


class _Body:
    """The inside of a vessel of that shape, filled with a serve."""

    def __init__(self, shape: Shape, height: float, serve_ml: float, size_ml: float) -> None:
        middle, top, bottom, needed = _PLACES[shape]
        self.height = int(height)
        self.down = round(min(max(0.0, (height - needed) / 2), 60.0), 1)
        self.middle, self._top, self._bottom = middle, top + self.down, bottom + self.down
        self._profile = _PROFILES[shape]
        slices = [self._half((n + 0.5) / _SLICES) ** 2 for n in range(_SLICES)]
        self._below = [0.0, *accumulate(slices)]
        self._full = min(1.0, serve_ml / size_ml) if serve_ml > 0 else 0.0
        self.level = self.y_of(1.0)

    def cubes(self, ice_ml: float) -> tuple[Cube, ...]:
        """Pieces of ice, afloat in rows of three; three where nobody knows how much it is."""
        wanted = min(max(round(ice_ml / _CUBE_ML), 1), _MOST_CUBES) if ice_ml else 3
        found: list[Cube] = []
        y = min(self.level + 0.3 * _CUBE, self._bottom - 0.8 * _CUBE)
        while len(found) < wanted and (y + 0.8 * _CUBE <= self._bottom or not found):
            across = max(self.half_at(y + 0.5 * _CUBE) - 0.8 * _CUBE, 0.0)
            found += [
                Cube(round(self.middle + share * across, 1), round(y + lower, 1), turned)
                for share, lower, turned in _IN_A_ROW
            ]
            y += _CUBE + 3
        return tuple(found[:wanted])

    def _half(self, up: float) -> float:
        """Half of the width at a height, of 1."""
        for (low, narrow), (high, wide) in zip(self._profile, self._profile[1:], strict=False):
            if up <= high:
                return narrow + (wide - narrow) * (up - low) / (high - low)
        return self._profile[-1][1]

    def half_at(self, y: float) -> float:
        """Half of the width at a y of the picture."""
        return self._half(min(max((self._bottom - y) / (self._bottom - self._top), 0.0), 1.0))

    def y_of(self, share: float) -> float:
        """Where that share of the drink, from the bottom, ends."""
        wanted = self._below[-1] * self._full * min(max(share, 0.0), 1.0)
        slice_at = min(max(bisect_left(self._below, wanted), 1), _SLICES)
        low, high = self._below[slice_at - 1], self._below[slice_at]
        up = (slice_at - 1 + (wanted - low) / (high - low)) / _SLICES
        return round(self._bottom - up * (self._bottom - self._top), 1)

    def slab(self, top: float, bottom: float) -> str:
        """The points of the polygon between two levels, inside the wall."""
        steps = max(2, math.ceil((bottom - top) / 6))
        levels = [bottom + (top - bottom) * n / steps for n in range(steps + 1)]
        sides = [(y, max(self.half_at(y) - 3, 1.0)) for y in levels]
        left = [f"{self.middle - half:.1f},{y:.1f}" for y, half in sides]
        right = [f"{self.middle + half:.1f},{y:.1f}" for y, half in reversed(sides)]
        return " ".join([*left, *right])

    def outline(self) -> str:
        """The wall, from rim to rim."""
        ups = [up for up, _ in self._profile] + [n / 20 for n in range(1, 20)]
        levels = sorted({self._bottom - up * (self._bottom - self._top) for up in ups})
        left = [f"{self.middle - self.half_at(y):.1f} {y:.1f}" for y in levels]
        right = [f"{self.middle + self.half_at(y):.1f} {y:.1f}" for y in reversed(levels)]
        return f"M{'L'.join([*left, *right])}"
