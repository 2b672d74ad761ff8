"""While it stands: a drink's temperature from the moment it is poured to the moment it is drunk.

Newton's law of cooling, T(t) = room + (T0 - room) exp(-k t), k per minute.

>>> k = fitted_cooling_per_min(Reading(0, 96.1), Reading(5, 72.2), room_c=22.8)
>>> round(k, 3), round(cooled_temp_c(96.1, 22.8, k, minutes=5), 1)
(0.079, 72.2)
"""

import math
from collections.abc import Sequence
from itertools import product
from typing import TYPE_CHECKING, NamedTuple

from server.domain.base.errors import CannotTell, InvalidInput
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.liquid import Liquid
from server.domain.glass.vessel import Vessel, poured_temp_c

if TYPE_CHECKING:
    # The routine's ingredients hold values of this package: at run time it must not look back.
    from server.domain.routine.routine import Segment

USUAL_COOLING_PER_MIN = Figure(
    0.04, 0.02, 0.08, source="ceramic 0.02 to 0.033 (a teaching page), a cold mug 0.079 (Hawkes)"
)
"""Where no vessel was measured: a wide range, no fact. Two readings of your own make it narrow."""


class Reading(NamedTuple):
    """A thermometer reading: minutes since some moment, and °C."""

    minute: float
    temp_c: float


class Stand(NamedTuple):
    """How long a drink stands: lowest, likely, highest, in seconds."""

    low_s: float
    likely_s: float
    high_s: float


def cooled_temp_c(start_c: float, room_c: float, k_per_min: float, minutes: float) -> float:
    """Temperature after `minutes`; a cold drink warms by the same law."""
    return room_c + (start_c - room_c) * math.exp(-k_per_min * minutes)


def fitted_cooling_per_min(first: Reading, second: Reading, room_c: float) -> float:
    """The cooling constant that two readings and the room temperature give.

    Raises InvalidInput where no cooling towards the room can be read from them.
    """
    minutes = second.minute - first.minute
    if minutes <= 0:
        raise InvalidInput.of("second", "The second reading comes after the first.")
    above_first, above_second = first.temp_c - room_c, second.temp_c - room_c
    if above_first * above_second <= 0:
        raise InvalidInput.of("room_c", "Both readings lie on one side of the room temperature.")
    if abs(above_second) >= abs(above_first):
        raise InvalidInput.of("second", "The second reading is nearer to the room temperature.")
    return math.log(above_first / above_second) / minutes


def fitted_cooling(
    first: Reading, second: Reading, room_c: float, reading_error_c: float = 0.5
) -> Figure:
    """The cooling constant with the range that a thermometer's error gives it.

    Raises InvalidInput as `fitted_cooling_per_min`, also where the error drowns the difference.
    """
    k = fitted_cooling_per_min(first, second, room_c)
    towards = math.copysign(reading_error_c, first.temp_c - room_c)
    least = (Reading(first.minute, first.temp_c - towards), second.temp_c + towards)
    most = (Reading(first.minute, first.temp_c + towards), second.temp_c - towards)
    low, high = (
        fitted_cooling_per_min(start, Reading(second.minute, end_c), room_c)
        for start, end_c in (least, most)
    )
    return Figure(k, low, high, source="fitted from two readings")


def minutes_to_reach(start_c: float, room_c: float, k_per_min: float, to_c: float) -> float:
    """Minutes until a drink is at `to_c`. Raises InvalidInput for a temperature not on its way."""
    if start_c == room_c or not 0 < (to_c - room_c) / (start_c - room_c) <= 1:
        raise InvalidInput.of("to_c", "The drink does not pass this temperature as it stands.")
    return math.log((start_c - room_c) / (to_c - room_c)) / k_per_min


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
    return Estimate(likely, min([likely, *ends]), max([likely, *ends]), start.lacks)


def drunk_temp_c(
    drink: Liquid, own: Estimate | None, vessel: Vessel, room: Figure, stand: Stand
) -> Estimate | None:
    """Temperature of one serve when it is drunk: poured into its vessel, then standing.

    `drink` and `own` are a balance's `serve_liquid` and `serve.temp_c`. None where the drink's own
    temperature is not known.
    """
    poured = poured_temp_c(drink, own, vessel, room)
    return None if poured is None else stood_temp_c(poured, stand, room, vessel.cooling_per_min)


def temp_curve(
    start: Estimate, room: Figure, cooling: Figure | None, until_s: float, points: int = 25
) -> tuple[tuple[float, Estimate], ...]:
    """Temperature at evenly spaced moments: (seconds since poured, estimate), for a picture."""
    moments = [until_s * index / (points - 1) for index in range(points)]
    return tuple((at, stood_temp_c(start, Stand(at, at, at), room, cooling)) for at in moments)


def stand_between(
    segments: Sequence["Segment"], poured_segment_id: str, drunk_segment_id: str
) -> Stand:
    """How long a drink stands between the segment it is poured in and the one it is drunk in.

    Likely: from the end of the first to the start of the second. At the least: the same with the
    lowest durations. At the most: from the start of the first to the end of the second, with the
    highest durations. Raises CannotTell where the order is the other way round.
    """
    # Not at the top: the routine's drinks hold values of this package.
    from server.domain.routine.plan import placed_by

    ids = [segment.id for segment in segments]
    if poured_segment_id not in ids or drunk_segment_id not in ids:
        raise CannotTell("Choose the segments in which it is poured and drunk.")
    poured, drunk = ids.index(poured_segment_id), ids.index(drunk_segment_id)
    if drunk < poured:
        raise CannotTell("A drink is not drunk before it is poured.")
    low, likely, high = (
        {each.segment.id: each for each in placed_by(segments, lasts)}
        for lasts in (
            lambda duration: duration.least_s,
            lambda duration: duration.likely_s,
            lambda duration: duration.most_s,
        )
    )
    return Stand(
        max(low[drunk_segment_id].start_s - low[poured_segment_id].end_s, 0.0),
        max(likely[drunk_segment_id].start_s - likely[poured_segment_id].end_s, 0.0),
        high[drunk_segment_id].end_s - high[poured_segment_id].start_s,
    )
