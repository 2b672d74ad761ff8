"""How a drink stands in a room, and in its vessel: a slush melts before it warms.

Newton's law throughout: the heat that comes in is k C (room - drink), and melts what is ice.
"""

from server.domain.base.crossing import falling_root
from server.domain.glass.cooling import cooled_temp_c
from server.domain.glass.liquid import (
    Liquid,
    capacity_j_per_k,
    freezes_at_c,
    temp_c,
    thawed_c,
    warmed,
)


def with_heat(liquid: Liquid, heat_j: float) -> Liquid:
    """The same with so much more heat in it."""
    return liquid._replace(heat_j=liquid.heat_j + heat_j)


def stood(liquid: Liquid, room_c: float, k_per_min: float, minutes: float) -> Liquid:
    """A drink after it has stood in a room; as it was where its temperature is not known.

    The freezing point rises as a slush melts: half-way is taken for all of it. Its ice does not
    grow in a room that is colder.
    """
    start_c = temp_c(liquid)
    if start_c is None:
        return liquid
    if liquid.iced_g <= 0:
        return warmed(liquid, cooled_temp_c(start_c, room_c, k_per_min, minutes))
    melted_c = max(freezes_at_c(liquid), start_c)
    coming_j = k_per_min * capacity_j_per_k(liquid, start_c) * (room_c - (start_c + melted_c) / 2)
    to_melt_j = (melted_c - thawed_c(liquid)) * liquid.heat_j_per_k
    if to_melt_j > 0 and coming_j * minutes < to_melt_j:
        return with_heat(liquid, max(coming_j * minutes, 0.0))
    left_min = minutes - to_melt_j / coming_j if to_melt_j > 0 else minutes
    after = warmed(liquid, cooled_temp_c(melted_c, room_c, k_per_min, left_min))
    # It was blended with ice: that none is left of it is told too.
    return after._replace(iced_g=liquid.iced_g)


def in_vessel(liquid: Liquid, vessel_j_per_k: float, vessel_c: float) -> Liquid:
    """A slush after its vessel has come to its temperature; unchanged where that is not known."""
    start_c = temp_c(liquid)
    if start_c is None:
        return liquid

    def warmer_k(at_c: float) -> float:
        after = with_heat(liquid, vessel_j_per_k * (vessel_c - at_c))
        return (temp_c(after) or 0.0) - at_c

    at_c = falling_root(warmer_k, min(start_c, vessel_c), max(start_c, vessel_c), within=1e-6)
    return with_heat(liquid, vessel_j_per_k * (vessel_c - at_c))
