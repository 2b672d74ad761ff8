"""Heat: capacities, what mixing two temperatures gives, what ice takes away.

Energy in J, capacities in J/(g K) or J/K, temperatures in °C.

>>> round(ice_to_chill_g(heat_j_per_k=418, from_c=20, to_c=0, ice_c=0), 1)
25.1
"""

from bisect import bisect_right
from collections.abc import Sequence

from server.domain.base.errors import CannotTell

WATER_J_PER_GK = 4.18
"""Heat capacity of water between 0 and 90 °C, to 0.6 % (IAPWS-95: 4.18 to 4.22)."""

ICE_J_PER_GK = 2.06
"""Heat capacity of ice between -10 and 0 °C (IAPWS-06: 2.02 to 2.10)."""

MELTING_J_PER_G = 333.55
"""Latent heat of melting at 0 °C, the common textbook value (IAPWS-06: 333.4; CRC: 333.6)."""

CARBOHYDRATE_J_PER_GK, PROTEIN_J_PER_GK, FAT_J_PER_GK, ASH_J_PER_GK = 1.4, 1.6, 1.7, 0.8
"""Kessler, Food Engineering and Dairy Technology (1981): capacity of a food by its composition."""

MATERIALS_J_PER_GK = {
    "glass": 0.84,
    "porcelain": 1.05,
    "stoneware": 0.90,
    "steel": 0.50,
    "copper": 0.39,
    "aluminium": 0.90,
    "paper": 1.34,
    "plastic": 1.75,
}
"""Heat capacity of what vessels are made of: handbook values; stoneware, paper and plastic vary."""

_FRACTIONS = (0.0, 0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.334, 0.40, 0.50, 0.60, 1.0)
_LAST = len(_FRACTIONS) - 1
_CAPACITY_AT = {
    0.0: (4219, 4334, 4402, 4413, 4369, 4282, 4163, 4073, 3893, 3634, 3330, 2257),
    20.0: (4184, 4241, 4303, 4335, 4329, 4287, 4216, 4157, 4029, 3825, 3551, 2396),
    40.0: (4179, 4224, 4270, 4307, 4320, 4304, 4261, 4219, 4120, 3942, 3691, 2559),
}
"""J/(kg K) of ethanol-water by mass fraction: Melinder's fit in CoolProp (MEA; 2 % against its
second fit MEA2), pure ethanol by CoolProp. Weak mixtures hold more heat than water, so a mean
weighted by mass is wrong by up to 14 %."""

_COLD, _COOL, _HOT = (_CAPACITY_AT[at_c] for at_c in (0.0, 20.0, 40.0))

_FREEZING_C = (0.0, -2.0, -4.4, -7.5, -11.1, -15.4, -20.1, -23.4, -29.5, -37.6, -45.0, -114.0)
"""Freezing point at the same mass fractions, from the same fit (0.60: typical)."""


FREEZING_K_KG_PER_MOL = 1.86
"""Cryoscopic constant of water (textbook value)."""

SUCROSE_G_PER_MOL, WATER_KEPT_G_PER_MOL = 342.3, 5 * 18.015


def ethanol_water_j_per_gk(ethanol_fraction: float, temp_c: float) -> float:
    """Heat capacity of ethanol and water by mass fraction of ethanol.

    Known from 0 to 40 °C; outside, the nearest of these is used (off by 2 % at most up to 20 %
    mass).
    """
    index, part = _place(ethanol_fraction)
    if temp_c <= 0.0:
        return _between(_COLD, index, part) / 1000
    if temp_c >= 40.0:
        return _between(_HOT, index, part) / 1000
    if temp_c < 20.0:
        low, high, share = _COLD, _COOL, temp_c / 20.0
    else:
        low, high, share = _COOL, _HOT, temp_c / 20.0 - 1.0
    colder = _between(low, index, part)
    return (colder + (_between(high, index, part) - colder) * share) / 1000


def freezing_point_c(ethanol_fraction: float) -> float:
    """Where a mixture of ethanol and water begins to freeze, by mass fraction of ethanol."""
    index, part = _place(ethanol_fraction)
    return _between(_FREEZING_C, index, part)


def sugar_freezing_k(sugar_g: float, water_g: float) -> float:
    """How far sugar, counted as sucrose, lowers the freezing point of that much water.

    1.86 K for a mole in a kilogram of water, where each molecule of sucrose keeps five of water
    to itself: 12 % freezes at -0.77 °C, 40 % at -4.4 °C. Glucose and fructose do up to twice as
    much.
    """
    if sugar_g <= 0 or water_g <= 0:
        return 0.0
    sugar_mol = sugar_g / SUCROSE_G_PER_MOL
    free_g = max(water_g - WATER_KEPT_G_PER_MOL * sugar_mol, 0.2 * water_g)
    return FREEZING_K_KG_PER_MOL * 1000 * sugar_mol / free_g


def _place(fraction: float) -> tuple[int, float]:
    """The table row left of `fraction` and how far it lies towards the next (0..1)."""
    if fraction <= 0.0:
        return 0, 0.0
    # The last fraction is left out of the search: to its left lies the last stretch.
    index = bisect_right(_FRACTIONS, fraction, 0, _LAST) - 1
    left, right = _FRACTIONS[index], _FRACTIONS[index + 1]
    return index, (fraction - left) / (right - left)


def _between(row: Sequence[float], index: int, part: float) -> float:
    return row[index] + (row[index + 1] - row[index]) * part


def syrup_j_per_gk(brix: float, temp_c: float) -> float:
    """Heat capacity of a sucrose solution, 3 %.

    c = 4.1868 - 0.0297 Bx + 7.5e-5 Bx t (kJ/kg K; Bubnik et al. 1995, formula from memory).
    """
    return 4.1868 - 0.0297 * brix + 7.5e-5 * brix * temp_c


def refuse_ice(ice_c: float) -> None:
    """Raise CannotTell for ice that would not be ice."""
    if ice_c > 0:
        raise CannotTell("Ice is not hotter than 0 °C.")
    if ice_c < -80:
        raise CannotTell("Ice colder than −80 °C is not met at a bar.")


def ice_to_chill_g(
    heat_j_per_k: float, from_c: float, to_c: float, ice_c: float, freed_j: float = 0.0
) -> float:
    """Ice (g) that melts while it takes a drink from one temperature down to another.

    Energy balance: m = (C (T0 - T1) + freed) / (L - c_ice T_ice + c_water T1), with the heat that
    drink and water set free as they mix; it holds below 0 °C too.
    Raises CannotTell for ice hotter than 0 °C or a drink that would be warmed.
    """
    refuse_ice(ice_c)
    if to_c > from_c:
        raise CannotTell("Ice does not warm a drink.")
    takes_j_per_g = _melting_j_per_g(ice_c) + WATER_J_PER_GK * to_c
    return (heat_j_per_k * (from_c - to_c) + freed_j) / takes_j_per_g


def temp_after_melting_c(
    heat_j_per_k: float, from_c: float, melted_g: float, ice_c: float, freed_j: float = 0.0
) -> float:
    """Temperature of a drink after that much ice has melted into it; inverse of the above."""
    refuse_ice(ice_c)
    taken_j = melted_g * _melting_j_per_g(ice_c)
    return (heat_j_per_k * from_c - taken_j + freed_j) / (heat_j_per_k + melted_g * WATER_J_PER_GK)


def _melting_j_per_g(ice_c: float) -> float:
    return MELTING_J_PER_G - ICE_J_PER_GK * ice_c
