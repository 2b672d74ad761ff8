"""How a drink cools or warms by itself.

Newton's law of cooling, T(t) = room + (T0 - room) exp(-k t), k per minute.

>>> k = fitted_cooling_per_min(Thermometer(0, 96.1), Thermometer(5, 72.2), room_c=22.8)
>>> round(k, 3), round(cooled_temp_c(96.1, 22.8, k, minutes=5), 1)
(0.079, 72.2)
"""

import math
from typing import NamedTuple

from server.domain.base.errors import InvalidInput
from server.domain.glass.figures import Figure

USUAL_COOLING_PER_MIN = Figure(
    0.04, 0.02, 0.08, source="ceramic 0.02 to 0.033 (a teaching page), a cold mug 0.079 (Hawkes)"
)
"""Where no vessel was measured: a wide range, no fact. Two readings of your own make it narrow."""

ROOMS = "WHO, Health impact of low indoor temperatures (1987): 18 to 24 °C, as cited"
"""Where the range of rooms is from."""

USUAL_ROOM_C = 21.0
ROOMS_C = Figure(USUAL_ROOM_C, 18.0, 24.0, source=ROOMS)
"""A room that nobody measured."""

USUAL_FROM_ML = 150.0
"""The readings behind that were taken in mugs; what is smaller has more surface for its volume."""


def usual_cooling_per_min(drink_ml: float) -> Figure:
    """The range for a drink of that volume whose vessel nobody measured.

    Below a mug's volume the likely and the highest constant grow as surface to volume do (volume
    to the power -1/3): 40 ml cool up to 0.12 a minute. By geometry, not by measurement; the lowest
    stays, for a cup that is heavy and warm.
    """
    usual = USUAL_COOLING_PER_MIN
    if not 0 < drink_ml < USUAL_FROM_ML:
        return usual
    faster = (USUAL_FROM_ML / drink_ml) ** (1 / 3)
    return Figure(usual.value * faster, usual.least, usual.most * faster, usual.source)


class Thermometer(NamedTuple):
    """What a thermometer showed: minutes since some moment, and °C."""

    minute: float
    temp_c: float


def cooled_temp_c(start_c: float, room_c: float, k_per_min: float, minutes: float) -> float:
    """Temperature after `minutes`; a cold drink warms by the same law."""
    return room_c + (start_c - room_c) * math.exp(-k_per_min * minutes)


def fitted_cooling_per_min(first: Thermometer, second: Thermometer, room_c: float) -> float:
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
    first: Thermometer, second: Thermometer, room_c: float, reading_error_c: float = 0.5
) -> Figure:
    """The cooling constant with the range that a thermometer's error gives it.

    Raises InvalidInput as `fitted_cooling_per_min`, also where the error drowns the difference.
    """
    k = fitted_cooling_per_min(first, second, room_c)
    towards = math.copysign(reading_error_c, first.temp_c - room_c)
    least = (Thermometer(first.minute, first.temp_c - towards), second.temp_c + towards)
    most = (Thermometer(first.minute, first.temp_c + towards), second.temp_c - towards)
    low, high = (
        fitted_cooling_per_min(start, Thermometer(second.minute, end_c), room_c)
        for start, end_c in (least, most)
    )
    return Figure(k, low, high, source="fitted from two readings")


def minutes_to_reach(start_c: float, room_c: float, k_per_min: float, to_c: float) -> float:
    """Minutes until a drink is at `to_c`. Raises InvalidInput for a temperature not on its way."""
    if start_c == room_c or not 0 < (to_c - room_c) / (start_c - room_c) <= 1:
        raise InvalidInput.of("to_c", "The drink does not pass this temperature as it stands.")
    return math.log((start_c - room_c) / (to_c - room_c)) / k_per_min
