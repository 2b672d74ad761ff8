"""Blending with ice: all of it stays in the drink, as slush at the freezing point of what is left.

Liquids at their temperatures and ice at its own come to one temperature. While some is left, it is
where the liquid between it begins to freeze, with the alcohol and sugar that it then has.

>>> from server.domain.glass.liquid import plain_water, slush_of
>>> slush = slush_of(blended(plain_water(100.0, temp_c=20.0), ice(100.0, ice_c=0.0), 0.0))
>>> round(slush.ice_g, 1), round(slush.temp_c, 1)
(74.9, 0.0)
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from server.domain.base.crossing import falling_root
from server.domain.glass.cold.on_ice import melt_is_told
from server.domain.glass.figures import Figure
from server.domain.glass.liquid import (
    Liquid,
    ice,
    mass_g,
    poured_together,
    temp_c,
    unmixed,
    warmed,
)
from server.domain.glass.parcel import Parcel
from server.domain.glass.steps import AnyStep, Blend, ice_c_of

BLENDER_J_PER_G = Figure(
    25.0, 0.0, 60.0, source="typical; ours: seconds of some hundred watts, a jar from the room"
)
"""Heat that blades and jar bring into each gram of what is blended."""

ICE_G_PER_ML = 0.917
"""Density of ice at 0 °C (IAPWS-06: 0.9167)."""

_TRIED = (0.0, *(0.05 * 1.25**step for step in range(20)))
"""Shares of a drink's mass that are tried as ice, up to three and a half times as much."""


def blended(before: Liquid, added: Liquid, heat_j_per_g: float, is_simple: bool = False) -> Liquid:
    """A drink with that ice blended in, and what blades and jar warm it by.

    `is_simple` says that its sugar is glucose and fructose. Where too little is known of its
    temperature, nobody can tell how much of the ice melts: it then has none.
    """
    if not melt_is_told(before):
        return unmixed(poured_together(before, added))
    mixed = before if before.iced_g > 0 else warmed(before, temp_c(before) or 0.0)
    both = poured_together(mixed, added)
    heat_j = both.heat_j + heat_j_per_g * mass_g(both)
    return both._replace(heat_j=heat_j, simple_g=both.sugar_g if is_simple else both.simple_g)


def ice_to_blend_g(before: Liquid, to_c: float, ice_c: float) -> float | None:
    """Ice that takes a drink to a temperature as it is blended; None where no amount does.

    More ice makes it colder until some is left; ice that is warmer than the slush warms it again.
    """
    whole_g = mass_g(before)

    def too_warm_k(ice_g: float) -> float:
        after = blended(before, ice(ice_g, ice_c), BLENDER_J_PER_G.value)
        return (temp_c(after) or 0.0) - to_c

    tried = [whole_g * share for share in _TRIED]
    for less_g, more_g in pairwise(tried):
        if too_warm_k(less_g) > 0 >= too_warm_k(more_g):
            return falling_root(too_warm_k, less_g, more_g, within=1e-3)
    return None


def with_listed_ice(steps: Sequence[AnyStep], parcels: Sequence[Parcel]) -> tuple[AnyStep, ...]:
    """Steps that blend what is listed as ice, with how much that is where all of it is weighed.

    It goes into the first such step that comes after it in the recipe, as cold as it is listed
    where the step does not say how cold it is.
    """
    listed = [parcel for parcel in parcels if parcel.substance.kind == "ice"]
    found: list[AnyStep] = []
    passed: set[str] = {""}
    for step in steps:
        if isinstance(step, Blend) and step.ice_g is None:
            here = [each for each in listed if (each.after_step_id or "") in passed]
            listed = [each for each in listed if each not in here]
            step = _as_cold_as_listed(replace(step, ice_g=ice_together_g(here)), here)
        found.append(step)
        passed.add(step.id)
    return tuple(found)


def ice_together_g(parcels: Sequence[Parcel]) -> Figure | None:
    """What several lines of ice weigh; None where not all of them are weighed, or there is none."""
    weighed = [parcel.ice_g for parcel in parcels if parcel.ice_g is not None]
    if not weighed or len(weighed) < len(parcels):
        return None
    value = sum(each.value for each in weighed)
    least, most = sum(each.least for each in weighed), sum(each.most for each in weighed)
    return Figure(value, least, most, "recipe") if value > 0 else None


def _as_cold_as_listed(step: Blend, listed: Sequence[Parcel]) -> Blend:
    """The step with its ice as cold as it says, else as one temperature is listed."""
    told = [each.substance.temp_c for each in listed if each.substance.temp_c]
    values = {each.value for each in told}
    if not ice_c_of(step).is_range or len(values) != 1 or max(values) > 0:
        return step
    is_measured = not any(each.is_range for each in told)
    return replace(step, ice_c=max(values), ice_measured=is_measured)
