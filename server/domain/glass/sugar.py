"""Sucrose and water: Brix, density, grams per litre, syrups.

Brix is grams of sucrose in 100 g of solution. Density follows the ICUMSA formula (Specification
and Standard SPS-4; Bubnik et al., Sugar Technologists Manual, 1995, p. 164), 0..80 °C. Other
sugars and dissolved solids are taken as sucrose, as a refractometer does.

>>> round(density_g_per_l(50.0), 1)
1229.7
>>> brix_of_mix(sugar_g=100, water_g=50) > SATURATION_BRIX_5_C
True
"""

from server.domain.base.errors import CannotTell

_D = (
    (385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890),
    (-46.2720, -7.1720, 1.1597, 5.1126, 17.5254),
    (59.7712, 7.2491, 12.3630, -35.4791),
    (-47.2207, -21.6977, 27.6301),
    (18.3184, 12.3081),
)

WATER_G_PER_L = 998.203
"""Density of water at 20 °C in the ICUMSA formula."""

SATURATION_BRIX_20_C, SATURATION_BRIX_5_C = 67.09, 64.9
"""What water can hold: 203.9 g of sucrose in 100 g of water at 20 °C, 184.7 g at 5 °C (Mohos,
Confectionery and Chocolate Engineering, 2010, tables A2.2-2.3)."""

GRANULATED_G_PER_ML = 0.845
"""Bulk density of granulated sugar, from the kitchen convention of 200 g in a US cup; 5 %."""

CRYSTAL_G_PER_100_ML = 158.8
"""Sugar is no denser than its own crystal (1.588 g/ml, handbook value from memory)."""


def water_density_g_per_l(temp_c: float) -> float:
    """Density of water, 0..100 °C, by Kell's formula (J. Chem. Eng. Data 20, 97, 1975)."""
    if not 0 <= temp_c <= 100:
        raise CannotTell("Liquid water is between 0 and 100 °C.")
    above = 0.0
    for coefficient in (-280.54253e-12, 105.56302e-9, -46.170461e-6, -7.9870401e-3, 16.945176):
        above = (above + coefficient) * temp_c
    return (999.83952 + above) / (1 + 16.879850e-3 * temp_c)


def density_g_per_l(brix: float, temp_c: float = 20.0) -> float:
    """Density of a sucrose solution.

    Raises CannotTell for Brix outside 0..100 or a temperature outside 0..80 °C.
    """
    refuse_brix(brix)
    fraction = brix / 100
    if temp_c == 20.0:
        return WATER_G_PER_L + _over_water(_D[0], fraction)
    if not 0 <= temp_c <= 80:
        raise CannotTell("Densities of syrups are known from 0 to 80 °C only.")
    off = (temp_c - 20.0) / 100
    water = WATER_G_PER_L + water_density_g_per_l(temp_c) - water_density_g_per_l(20.0)
    return water + sum(_over_water(row, fraction) * off**power for power, row in enumerate(_D))


def _over_water(row: tuple[float, ...], fraction: float) -> float:
    value = 0.0
    for coefficient in reversed(row):
        value = (value + coefficient) * fraction
    return value


def refuse_brix(brix: float) -> None:
    """Raise CannotTell for a sugar content that cannot be."""
    if not 0 <= brix <= 100:
        raise CannotTell("Sugar lies between 0 and 100 g in 100 g (Brix).")


def brix_of_mix(sugar_g: float, water_g: float) -> float:
    """Brix of so much sugar dissolved in so much water.

    Raises CannotTell for negative amounts or none at all.
    """
    if sugar_g < 0 or water_g < 0:
        raise CannotTell("An amount cannot be negative.")
    if sugar_g + water_g == 0:
        raise CannotTell("A syrup needs sugar and water.")
    return 100 * sugar_g / (sugar_g + water_g)


def water_to_thin_g(mass_g: float, from_brix: float, to_brix: float) -> float:
    """Water (g) that takes a syrup down to a lower Brix. Raises CannotTell for a higher one."""
    if not 0 < to_brix <= from_brix:
        raise CannotTell("Water only thins: choose a Brix below the first.")
    return mass_g * (from_brix / to_brix - 1)


def refractometer_brix(abv_percent: float, density_g_per_l: float) -> float:
    """What a refractometer shows of a drink with alcohol, which bends light as sugar does.

    Rogerson and Symington, Am. J. Enol. Vitic. 57, 486 (2006), for fortified wine: % vol = 1.646
    Brix - 2.703 Baume - 1.794, with the Baume that a hydrometer shows; solved for Brix.
    """
    baume = 145 - 145 * WATER_G_PER_L / density_g_per_l
    return (abv_percent + 2.703 * baume + 1.794) / 1.646


REFRACTOMETER_ABV = 30.0
"""The strongest drink that is told what a refractometer shows of it. The formula is of wines; the
stronger a spirit, the less each degree bends light, and from 78 % by mass on less again (abstract
of Eur. Phys. J. E, doi 10.1140/epje/i2009-10496-4), of which it knows nothing."""

REFRACTOMETER_BRIX = 1.5
"""How far that may be off: what a forum's readings of rum and dry wines are from it."""


def dissolved_ml(solids_g: float, water_g: float) -> float:
    """What dissolved solids add to the volume of that much water (20 °C), taken as sucrose."""
    mass_g = solids_g + water_g
    if solids_g <= 0 or mass_g <= 0:
        return 0.0
    density = WATER_G_PER_L + _over_water(_D[0], solids_g / mass_g)
    return 1000 * (mass_g / density - water_g / WATER_G_PER_L)
