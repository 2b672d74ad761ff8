"""Ethanol and water: density, strength by mass and volume, what mixing them does.

Strength is % vol at 20 °C throughout. The density formula is that of the international
alcoholometric tables (OIML R 22; the same as in the annex of Council Directive 76/766/EEC, OJ
L 262, 27.9.1976, p. 149), valid from -20 to +40 °C, density in kg/m3 (g/l).

>>> round(density_g_per_l(mass_fraction_of(40.0)), 2)
948.05
>>> half = mixed([Pour(50, 100), Pour(50, 0)])
>>> round(half.volume_ml, 2), round(half.abv_percent, 2)
(96.46, 51.83)
>>> round(water_to_dilute_ml(1000, 96, 40), 1)
1470.5
"""

from collections.abc import Iterable
from functools import lru_cache
from typing import Literal, NamedTuple

from server.domain.base.errors import CannotTell

_A = (
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
    3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4,
)  # fmt: skip
_B = (-2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11)
_C = (
    (
        1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2,
        3.924090430035045e3, -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4,
        1.852373922069467e4, -7.420201433430137e3, 1.285617841998974e3,
    ),
    (
        -1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1,
        -5.029988758547014e1, 1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2,
        -4.414153236817392e1, 7.442971530188783,
    ),
    (
        -6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220,
        -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461,
        -5.411227621436812e-1,
    ),
    (4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6),
    (-2.788074354782409e-8, 1.345612883493354e-8),
)  # fmt: skip

COLDEST_C, WARMEST_C = -20.0, 40.0
"""Where the density formula holds."""

ETHANOL_G_PER_L = sum(_A)
"""Density of ethanol at 20 °C by the formula: 789.24; 0.789 g/ml in round figures."""

Definition = Literal["WHO", "US", "UK"]

STANDARD_DRINK_G: dict[Definition, float] = {"WHO": 10.0, "US": 14.0, "UK": ETHANOL_G_PER_L / 100}
"""Grams of ethanol in one standard drink: WHO (AUDIT manual) 10 g, USA (NIAAA) 14 g, one UK unit
10 ml of ethanol (NHS; "8 g" in round figures)."""


class Pour(NamedTuple):
    """A volume of spirit, ml at 20 °C, and its strength, % vol."""

    volume_ml: float
    abv_percent: float


def density_g_per_l(mass_fraction: float, temp_c: float = 20.0) -> float:
    """Density of an ethanol-water mixture by the OIML R 22 formula.

    Raises CannotTell for a mass fraction outside 0..1 or a temperature outside -20..40 °C.
    """
    if not 0 <= mass_fraction <= 1:
        raise CannotTell("A mass fraction lies between 0 and 1.")
    density = _power_series(_A, mass_fraction)
    if temp_c != 20.0:
        density += _off_20_c(mass_fraction, temp_c)
    return density


def _off_20_c(mass_fraction: float, temp_c: float) -> float:
    if not COLDEST_C <= temp_c <= WARMEST_C:
        raise CannotTell(
            f"Densities of spirits are known from {COLDEST_C:g} to {WARMEST_C:g} °C only."
        )
    off_c = temp_c - 20.0
    change = off_c * _power_series(_B, off_c)
    for power, row in enumerate(_C, start=1):
        change += off_c**power * mass_fraction * _power_series(row, mass_fraction)
    return change


def _power_series(coefficients: tuple[float, ...], x: float) -> float:
    value = 0.0
    for coefficient in reversed(coefficients):
        value = value * x + coefficient
    return value


def abv_percent_of(mass_fraction: float) -> float:
    """Strength in % vol of a mixture with that mass fraction of ethanol: q = p rho(p) / rho(1)."""
    return 100 * mass_fraction * density_g_per_l(mass_fraction) / ETHANOL_G_PER_L


@lru_cache(maxsize=1024)
def mass_fraction_of(abv_percent: float) -> float:
    """Mass fraction of ethanol (0..1) in a mixture of that strength; inverse of `abv_percent_of`.

    Raises CannotTell for a strength outside 0..100 % vol.
    """
    refuse_strength(abv_percent)
    low, high = 0.0, 1.0
    fraction = abv_percent / 100 * 0.9
    # Newton's step with a slope that is near enough everywhere, held inside a shrinking bracket.
    while abs(gap := abv_percent_of(fraction) - abv_percent) > 1e-11 and high - low > 1e-15:
        low, high = (fraction, high) if gap < 0 else (low, fraction)
        step = fraction - gap / (100 * (1.265 - 0.45 * fraction))
        fraction = step if low < step < high else (low + high) / 2
    return fraction


def refuse_strength(abv_percent: float) -> None:
    """Raise CannotTell for a strength outside 0..100 % vol."""
    if not 0 <= abv_percent <= 100:
        raise CannotTell("A strength lies between 0 and 100 % vol.")


def ethanol_g(volume_ml: float, abv_percent: float) -> float:
    """Grams of ethanol in a volume (20 °C) of that strength."""
    return volume_ml * abv_percent / 100 * ETHANOL_G_PER_L / 1000


def volume_ml(ethanol_g: float, water_g: float) -> float:
    """Volume at 20 °C of that much ethanol and water mixed: less than the two apart."""
    mass_g = ethanol_g + water_g
    return 1000 * mass_g / _power_series(_A, ethanol_g / mass_g) if mass_g > 0 else 0.0


def mixed(pours: Iterable[Pour]) -> Pour:
    """What pours of different strength give together: masses add up, volumes do not.

    Contraction raises the strength a little above the additive rule.
    """
    masses_g = [_masses_g(pour) for pour in pours]
    total_ethanol_g = sum(mass[0] for mass in masses_g)
    total_ml = volume_ml(total_ethanol_g, sum(mass[1] for mass in masses_g))
    if total_ml <= 0:
        raise CannotTell("Nothing was poured.")
    return Pour(total_ml, 100_000 * total_ethanol_g / ETHANOL_G_PER_L / total_ml)


def _masses_g(pour: Pour) -> tuple[float, float]:
    if pour.volume_ml < 0:
        raise CannotTell("An amount cannot be negative.")
    fraction = mass_fraction_of(pour.abv_percent)
    mass_g = pour.volume_ml * density_g_per_l(fraction) / 1000
    return mass_g * fraction, mass_g * (1 - fraction)


def water_to_dilute_ml(volume_ml: float, from_abv_percent: float, to_abv_percent: float) -> float:
    """Water (ml at 20 °C) that takes a spirit down to a strength, contraction counted.

    Raises CannotTell where the target is not weaker than the spirit, or is zero.
    """
    if not 0 < to_abv_percent <= from_abv_percent:
        raise CannotTell("Water only weakens: choose a strength below the first.")
    alcohol_g, water_g = _masses_g(Pour(volume_ml, from_abv_percent))
    wanted = mass_fraction_of(to_abv_percent)
    added_g = alcohol_g * (1 - wanted) / wanted - water_g
    return 1000 * added_g / density_g_per_l(0.0)


_VAPOUR_TO_LIQUID = (
    (0.019, 0.170), (0.0721, 0.3891), (0.0966, 0.4375), (0.1238, 0.4704), (0.1661, 0.5089),
    (0.2337, 0.5445), (0.3273, 0.5826), (0.3965, 0.6122), (0.5198, 0.6599), (0.6763, 0.7385),
    (0.7472, 0.7815), (0.8943, 0.8943),
)  # fmt: skip
"""Ethanol among the molecules of a liquid, and of the vapour over it as it boils at 101 kPa (Perry,
Chemical Engineers' Handbook, 4th ed., p. 13-5, as two public pages print it)."""

_VOLATILITY = tuple((x, y / (1 - y) / (x / (1 - x))) for x, y in _VAPOUR_TO_LIQUID)

_BOILING_STEPS = 24

_ETHANOL_G_PER_MOL, _WATER_G_PER_MOL = 46.069, 18.015


def steam_of(ethanol_g: float, water_g: float, steam_g: float) -> tuple[float, float]:
    """Grams of ethanol and of water in so much steam off them, boiled off bit by bit.

    Rayleigh's distillation: each bit is as strong as the vapour over what is left.

    >>> [round(each, 1) for each in steam_of(100, 900, 100)]
    [46.0, 54.0]
    """
    left_e, left_w, bit_g = ethanol_g, water_g, steam_g / _BOILING_STEPS
    for _ in range(_BOILING_STEPS):
        in_half = bit_g / 2 * _share_in_vapour(left_e, left_w)
        share = _share_in_vapour(left_e - in_half, left_w - bit_g / 2 + in_half)
        off_e = min(left_e, max(bit_g * share, bit_g - left_w))
        left_e, left_w = left_e - off_e, max(0.0, left_w - (bit_g - off_e))
    return ethanol_g - left_e, water_g - left_w


def _share_in_vapour(ethanol_g: float, water_g: float) -> float:
    """Mass share of ethanol in the vapour over so much of both."""
    if ethanol_g <= 0:
        return 0.0
    if water_g <= 0:
        return 1.0
    x = 1 / (1 + water_g / _WATER_G_PER_MOL * _ETHANOL_G_PER_MOL / ethanol_g)
    drawn = _volatility(x) * ethanol_g
    return drawn / (drawn + water_g)


def _volatility(x: float) -> float:
    """How much more readily ethanol leaves than water, at so much of it among the molecules."""
    before = _VOLATILITY[0]
    for each in _VOLATILITY:
        if x <= each[0]:
            part = (x - before[0]) / (each[0] - before[0]) if each[0] > before[0] else 1.0
            return before[1] + (each[1] - before[1]) * part
        before = each
    return 1.0


def pearson_square(strong: float, weak: float, target: float) -> tuple[float, float]:
    """Parts of the strong and of the weak one that give `target`, by the additive rule.

    Raises CannotTell where the target does not lie between them.
    """
    if not weak <= target <= strong or weak == strong:
        raise CannotTell("The strength aimed at lies between the two.")
    return target - weak, strong - target
