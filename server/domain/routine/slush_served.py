"""A serve of slush from pouring to drinking: what is warmer than it melts its ice before it warms.

Each end of what is not sure is a liquid of its own: one with the most ice, one with the least.
"""

from dataclasses import replace
from itertools import product
from typing import NamedTuple

from server.domain.glass.cold.standing_ice import in_vessel, stood, with_heat
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.heat import MATERIALS_J_PER_GK, MELTING_J_PER_G
from server.domain.glass.liquid import Liquid, slush_of, temp_c, thawed_c, warmed
from server.domain.glass.totals import Totals
from server.domain.glass.vessel import LEAST_SHARE, Vessel
from server.domain.routine.standing import Stand


class SlushServe(NamedTuple):
    """A serve of slush: as it likely is, with the most of its ice and with the least."""

    likely: Liquid
    coldest: Liquid
    warmest: Liquid


def slush_serve(serve: Liquid, totals: Totals) -> SlushServe | None:
    """A serve as blended, with the range of its ice; None where it is no slush."""
    ice_g, own = totals.ice_g, totals.temp_c
    if ice_g is None or own is None or slush_of(serve).ice_g <= 0:
        return None
    coldest = with_heat(serve, -MELTING_J_PER_G * (ice_g.high - ice_g.value))
    warmest = with_heat(serve, MELTING_J_PER_G * (ice_g.value - ice_g.low))
    if ice_g.low <= 0 and own.high > slush_of(warmest).temp_c:
        warmest = warmed(serve, own.high)._replace(iced_g=serve.iced_g)
    return SlushServe(serve, coldest, warmest)


def poured_slush(slush: SlushServe, vessel: Vessel, room: Figure) -> SlushServe:
    """A serve after its vessel has taken or given its share of heat, as for any drink."""
    if vessel.mass_g is None:
        return slush
    whole_j_per_k = vessel.mass_g * MATERIALS_J_PER_GK[vessel.material]
    starts = (room.least, room.most) if vessel.temp_c is None else (vessel.temp_c,)
    likely_start_c = room.value if vessel.temp_c is None else vessel.temp_c
    shares = (whole_j_per_k, LEAST_SHARE * whole_j_per_k)
    corners = [
        in_vessel(*corner) for corner in product((slush.coldest, slush.warmest), shares, starts)
    ]
    return SlushServe(
        in_vessel(slush.likely, whole_j_per_k, likely_start_c),
        min(corners, key=thawed_c),
        max(corners, key=thawed_c),
    )


def stood_slush(slush: SlushServe, stand: Stand, room: Figure, cooling: Figure) -> SlushServe:
    """A serve after standing, over all that is not sure about it."""
    return SlushServe(
        stood(slush.likely, room.value, cooling.value, stand.likely_s / 60),
        stood(slush.coldest, room.least, cooling.least, stand.low_s / 60),
        stood(slush.warmest, room.most, cooling.most, stand.high_s / 60),
    )


def slush_temp_c(slush: SlushServe, like: Estimate) -> Estimate:
    """Its temperature, lacking what `like` lacks."""
    likely, *ends = (temp_c(each) or 0.0 for each in slush)
    return replace(like, value=likely, low=min(likely, *ends), high=max(likely, *ends))


def ice_left_g(slush: SlushServe, like: Estimate) -> Estimate:
    """How much ice is in it, lacking what `like` lacks."""
    likely, *ends = (slush_of(each).ice_g for each in slush)
    return replace(like, value=likely, low=min(likely, *ends), high=max(likely, *ends))
