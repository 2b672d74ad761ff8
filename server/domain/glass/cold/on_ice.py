"""How cold ice takes a drink that stands over it or is shaken with it, and how much of it melts."""

from server.domain.glass.figures import Figure
from server.domain.glass.heat import ice_to_chill_g, temp_after_melting_c
from server.domain.glass.liquid import (
    EMPTY,
    Liquid,
    capacity_j_per_k,
    freed_j,
    freezes_at_c,
    ice,
    mass_g,
    plain_water,
    poured_together,
    temp_c,
    total,
    warmed,
)
from server.domain.glass.steps import Ice

ICE_SPREAD = Figure(1.0, 0.8, 1.3, source="common practice, no source")
"""Melted ice against the energy balance: ice left over takes heat too, wet ice and hands add."""

LEAST_TOLD = 0.95
"""Share of a drink's mass whose temperature has to be known before melted ice is reckoned (ours: a
dash of bitters may be left out, a syrup may not)."""

COLDEST_MIX_C = -70.0
"""Colder than this no ice takes a drink (ours; near −80 °C ice would melt without taking heat)."""


def melt_is_told(before: Liquid) -> bool:
    """Whether enough is known of a drink's temperature to tell how much ice it melts."""
    return before.untold_g <= (1 - LEAST_TOLD) * mass_g(before) and temp_c(before) is not None


def iced(step: Ice, before: Liquid, spread: float) -> tuple[Liquid, Liquid]:
    """A drink chilled on ice, and the water that came of it; as it was where no ice melts."""
    from_c = temp_c(before)
    if from_c is None or not melt_is_told(before):
        return before, EMPTY
    mixed = warmed(before, from_c)
    to_c = _coldest_on_ice_c(mixed, from_c, step, spread)
    # A drink at its freezing point already, or colder than asked for: ice melts nothing into it.
    if to_c >= from_c:
        return before, EMPTY
    melted = plain_water(spread * _melted_g(mixed, from_c, to_c, step.ice_c))
    return warmed(total([mixed, melted]), to_c), melted


def shaken(before: Liquid, melted: Liquid, ice_c: float) -> Liquid:
    """A drink shaken or stirred on ice, of which so much has melted into it."""
    if before.iced_g > 0:
        return poured_together(before, ice(mass_g(melted), ice_c))
    from_c = temp_c(before)
    if from_c is None:
        return poured_together(before, melted)
    mixed = warmed(before, from_c)
    after = poured_together(mixed, melted)
    capacity = capacity_j_per_k(mixed, from_c / 2)
    freed = freed_j(after, from_c / 2)
    to_c = temp_after_melting_c(capacity, from_c, mass_g(melted), ice_c, freed)
    return warmed(after, max(to_c, freezes_at_c(after)))


def _coldest_on_ice_c(mixed: Liquid, from_c: float, step: Ice, spread: float) -> float:
    """How cold ice makes a drink: as asked for, or where it begins to freeze with what melted."""
    low_c, high_c = max(step.to_temp_c, COLDEST_MIX_C), from_c
    if low_c >= high_c or _stays_liquid(mixed, from_c, low_c, step.ice_c, spread):
        return low_c
    # The colder, the more has melted, and the thinner drink freezes sooner: one crossing.
    for _ in range(16):
        middle_c = (low_c + high_c) / 2
        liquid = _stays_liquid(mixed, from_c, middle_c, step.ice_c, spread)
        low_c, high_c = (low_c, middle_c) if liquid else (middle_c, high_c)
    return high_c


def _stays_liquid(mixed: Liquid, from_c: float, to_c: float, ice_c: float, spread: float) -> bool:
    if to_c < freezes_at_c(mixed):
        return False
    melted_g = spread * _melted_g(mixed, from_c, to_c, ice_c)
    return to_c >= freezes_at_c(_thinned(mixed, melted_g))


def _thinned(mixed: Liquid, water_g: float) -> Liquid:
    """With water in it, as far as freezing and the heat of mixing ask."""
    return mixed._replace(water_g=mixed.water_g + water_g)


def _melted_g(mixed: Liquid, from_c: float, to_c: float, ice_c: float) -> float:
    capacity = capacity_j_per_k(mixed, (from_c + to_c) / 2)
    melted_g = ice_to_chill_g(capacity, from_c, to_c, ice_c)
    if mixed.ethanol_g <= 0:
        return melted_g
    # Melted water warms the spirit that it thins, which melts more: settled to a hundredth.
    for _ in range(3):
        freed = freed_j(_thinned(mixed, melted_g), to_c)
        melted_g = ice_to_chill_g(capacity, from_c, to_c, ice_c, max(freed, 0.0))
    return melted_g
