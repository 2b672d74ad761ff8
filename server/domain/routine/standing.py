"""While it stands: a drink's temperature from the moment it is poured to the moment it is drunk."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from server.domain.base.errors import CannotTell
from server.domain.glass.cooling import USUAL_COOLING_PER_MIN, cooled_temp_c
from server.domain.glass.figures import Estimate, Figure
from server.domain.routine.plan import PlacedSegment, placed_by
from server.domain.routine.routine import Segment


class Stand(NamedTuple):
    """How long a drink stands: lowest, likely, highest, in seconds."""

    low_s: float
    likely_s: float
    high_s: float


def stood_temp_c(
    start: Estimate, stand: Stand, room: Figure, cooling: Figure | None = None
) -> Estimate:
    """Temperature of a drink after standing, over all that is not sure about it.

    It moves one way with each of start, time, room and constant, so that the corners of their
    ranges are the ends of its own.
    """
    k = cooling or USUAL_COOLING_PER_MIN
    corners = product(
        (start.low, start.high),
        (room.least, room.most),
        (k.least, k.most),
        (stand.low_s / 60, stand.high_s / 60),
    )
    ends = [cooled_temp_c(*corner) for corner in corners]
    likely = cooled_temp_c(start.value, room.value, k.value, stand.likely_s / 60)
    return replace(start, value=likely, low=min([likely, *ends]), high=max([likely, *ends]))


def temp_curve(
    temp_after: Callable[[Stand], Estimate], until_s: float, points: int = 25
) -> tuple[tuple[float, Estimate], ...]:
    """Temperature at evenly spaced moments: (seconds since poured, estimate), for a picture."""
    moments = [until_s * index / (points - 1) for index in range(points)]
    return tuple((at, temp_after(Stand(at, at, at))) for at in moments)


def stand_between(
    segments: Sequence[Segment], poured_segment_id: str, drunk_segment_id: str
) -> Stand:
    """How long a drink stands between the segment it is poured in and the one it is drunk in.

    Likely: from the end of the first to the start of the second. At the least: the same with the
    lowest durations. At the most: from the start of the first to the end of the second, with the
    highest durations. Raises CannotTell where the order is the other way round.
    """
    ids = [segment.id for segment in segments]
    if poured_segment_id not in ids or drunk_segment_id not in ids:
        raise CannotTell("Choose the segments in which it is poured and drunk.")
    poured, drunk = ids.index(poured_segment_id), ids.index(drunk_segment_id)
    if drunk < poured:
        raise CannotTell("A drink is not drunk before it is poured.")
    low, likely, high = placed_at_each(segments)
    return Stand(
        max(low[drunk_segment_id].start_s - low[poured_segment_id].end_s, 0.0),
        max(likely[drunk_segment_id].start_s - likely[poured_segment_id].end_s, 0.0),
        high[drunk_segment_id].end_s - high[poured_segment_id].start_s,
    )


def placed_at_each(segments: Sequence[Segment]) -> tuple[dict[str, PlacedSegment], ...]:
    """Segment id -> where it lies, with the lowest, the likely and the highest durations."""
    return _placed_at_each(tuple(segments))


# Kept: each drink of a page asks for the same.
@lru_cache(maxsize=8)
def _placed_at_each(
    segments: tuple[Segment, ...],
) -> tuple[dict[str, PlacedSegment], ...]:
    return tuple(
        {each.segment.id: each for each in placed_by(segments, lasts)}
        for lasts in (
            lambda duration: duration.least_s,
            lambda duration: duration.likely_s,
            lambda duration: duration.most_s,
        )
    )
