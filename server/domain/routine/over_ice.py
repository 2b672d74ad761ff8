"""While it stands over ice: a drink stays cold, and what keeps it cold thins it.

The heat that comes in follows Newton's law as for any drink in that vessel, k C (room - drink), and
melts ice instead of warming. What is warmer than 0 °C when it is poured melts some at once, and so
does the vessel, which is then as warm as the drink.
"""

from dataclasses import replace
from math import inf
from typing import NamedTuple

from server.domain.base.errors import CannotTell
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.heat import MELTING_J_PER_G, ice_to_chill_g
from server.domain.glass.liquid import (
    Liquid,
    capacity_j_per_k,
    ethanol_ml,
    freezes_at_c,
    plain_water,
    total,
    volume_ml,
)
from server.domain.routine.standing import Stand

MELTS_C = 0.0

NO_VESSEL = Figure(0.0)
"""The heat capacity (J/K) of a vessel that is not known: left out."""


class OverIce(NamedTuple):
    """A serve when it is drunk, after it stood over ice."""

    melted_g: Estimate
    volume_ml: Estimate
    abv_percent: Estimate
    temp_c: Estimate


def stood_over_ice(
    serve: Liquid, poured: Estimate, stand: Stand, room: Figure, cooling: Figure,
    vessel_j_per_k: Figure = NO_VESSEL, there_g: float = inf,
) -> OverIce:  # fmt: skip
    """A serve after so long over ice, of which `there_g` are in the glass.

    Raises CannotTell in a room that is colder than ice, and where no ice would be left.
    """
    if room.least <= MELTS_C:
        raise CannotTell("In a room so cold no ice melts.")
    cold, glass = _cold(serve, poured), vessel_j_per_k
    melted_g = Estimate(
        _melted_g(serve, poured.value, cold.value, glass.value)
        + _let_in_g(serve, cold.value, room.value, cooling.value, stand.likely_s),
        _melted_g(serve, poured.low, cold.value, glass.least)
        + _let_in_g(serve, cold.value, room.least, cooling.least, stand.low_s),
        _melted_g(serve, poured.high, cold.low, glass.most)
        + _let_in_g(serve, cold.low, room.most, cooling.most, stand.high_s),
        poured.lacks,
        is_open=poured.is_open,
    )
    if melted_g.value > there_g:
        raise CannotTell(
            f"Of the {there_g:.0f} g of ice in a glass none is left when they drink: about "
            f"{melted_g.value:.0f} g would melt."
        )
    likely, least, most = (
        total([serve, plain_water(grams)])
        for grams in (melted_g.value, melted_g.low, melted_g.high)
    )
    return OverIce(
        melted_g,
        replace(melted_g, value=volume_ml(likely), low=volume_ml(least), high=volume_ml(most)),
        replace(melted_g, value=_abv(likely), low=_abv(most), high=_abv(least)),
        cold,
    )


def _abv(liquid: Liquid) -> float:
    return 100 * ethanol_ml(liquid) / volume_ml(liquid)


def _cold(serve: Liquid, poured: Estimate) -> Estimate:
    """How cold it is over ice: between where it would freeze and how it was poured."""
    freezes_c = min(freezes_at_c(serve), poured.low)
    likely_c = max(freezes_c, min(poured.value, MELTS_C))
    return replace(poured, value=likely_c, low=freezes_c, high=max(poured.high, likely_c))


def _melted_g(serve: Liquid, from_c: float, to_c: float, vessel_j_per_k: float) -> float:
    """Ice that melts at once, as drink and vessel come down to a temperature."""
    warm_j_per_k = capacity_j_per_k(serve, to_c) + vessel_j_per_k
    return ice_to_chill_g(warm_j_per_k, max(from_c, to_c), to_c, MELTS_C)


def _let_in_g(serve: Liquid, at_c: float, room_c: float, per_min: float, stand_s: float) -> float:
    """Ice that the heat of the room melts meanwhile."""
    let_in_j = per_min * stand_s / 60 * capacity_j_per_k(serve, at_c) * (room_c - at_c)
    return let_in_j / MELTING_J_PER_G
