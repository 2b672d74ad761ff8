"""A serve's temperature over the tape, as a picture: likely line, and the range around it.

The shapes are drawn in a box of 100 by 100 that is stretched over the strip; labels stand beside.
"""

from dataclasses import dataclass
from functools import partial

from server.domain.base.durations import format_clock
from server.domain.glass.figures import Estimate
from server.domain.routine.plan import Layout
from server.domain.routine.standing import temp_curve
from server.web.drinks.view import Glass
from server.web.frame.tape import Post, TapeScale, ticks


@dataclass(frozen=True)
class Curve:
    """The picture; `area` and `line` are the points of SVG shapes."""

    area: str
    line: str
    degrees: tuple[Post, ...]
    """Lines across, at `x` percent from the top."""
    posts: tuple[Post, ...]
    ticks: tuple[Post, ...]
    stated: float | None
    """Where the temperature that is named lies, percent from the top."""
    title: str
    stated_c: float | None = None


def curve_of(glass: Glass, layout: Layout, span_s: float) -> Curve | None:
    """The picture of a serve from pouring to some minutes after it is drunk; None if unknown."""
    standing, service = glass.standing, glass.drink.service
    starts = {each.segment.id: each for each in layout.segments}
    poured, drunk = (
        starts.get(service.poured_segment_id or ""), starts.get(service.drunk_segment_id or "")
    )  # fmt: skip
    if standing.poured is None or standing.drunk is None or poured is None or drunk is None:
        return None
    scale = TapeScale(span_s)
    until_s = max(span_s - poured.end_s, 60.0)
    temp_after = partial(standing.temp_after, standing.poured, room=service.room)
    points = temp_curve(temp_after, until_s)
    if standing.over_ice:
        cold = standing.over_ice.temp_c
        points = tuple((at_s, cold if at_s else temp) for at_s, temp in points)
    height = _Height(points, service.stated_c)
    moments = [(scale.at(poured.end_s + at_s), temp) for at_s, temp in points]
    upper = [f"{x},{height.at(temp.high)}" for x, temp in moments]
    lower = [f"{x},{height.at(temp.low)}" for x, temp in reversed(moments)]
    return Curve(
        area=" ".join([*upper, *lower]),
        line=" ".join(f"{x},{height.at(temp.value)}" for x, temp in moments),
        degrees=height.lines(),
        posts=(
            Post(scale.at(poured.end_s), f"poured {format_clock(poured.end_s)}", "call"),
            Post(scale.at(drunk.start_s), f"drunk from {format_clock(drunk.start_s)}", "due"),
        ),
        ticks=ticks(scale),
        stated=None if service.stated_c is None else height.at(service.stated_c),
        title=_title(standing.poured, standing.drunk),
        stated_c=service.stated_c,
    )


class _Height:
    """Degrees to percent from the top of the picture."""

    def __init__(self, points: tuple[tuple[float, Estimate], ...], stated_c: float | None) -> None:
        shown = [end for _, temp in points for end in (temp.low, temp.high)]
        shown += [] if stated_c is None else [stated_c]
        self._low_c = 10 * (min(shown) // 10)
        self._high_c = max(10 * -(-max(shown) // 10), self._low_c + 10)

    def at(self, temp_c: float) -> float:
        return round(100 * (self._high_c - temp_c) / (self._high_c - self._low_c), 2)

    def lines(self) -> tuple[Post, ...]:
        step = 10 if self._high_c - self._low_c <= 60 else 20
        degrees = range(int(self._low_c), int(self._high_c) + 1, step)
        return tuple(Post(self.at(each), f"{each} °C", "degree") for each in degrees)


def _title(poured: Estimate, drunk: Estimate) -> str:
    return (
        f"Poured at about {poured.value:.0f} °C, between {drunk.low:.0f} and {drunk.high:.0f} °C "
        "when it is drunk"
    )
