"""Heat of mixing: spirit and water warm each other, and it costs ice.

Excess enthalpy of ethanol and water by the polynomial of J. A. Larkin, J. Chem. Thermodynamics 7,
137 (1975), measured from 25 to 110 °C; its coefficients as two public source files print them
alike. Outside these temperatures its nearest value is used: colder than 25 °C measured capacities
say that 12 J more a mole are set free for each kelvin (CoolProp's MEA, a third of mass), which is
left out; 60 ml of 40 % vol brought from 20 to 0 °C would melt 1.2 g of ice more. Below about 15 %
vol the polynomial runs away from what is measured (it has a root of the mole fraction in it): there
the heat of solution of ethanol in much water bounds it. What sugar frees is not counted.

>>> [round(each, 1) for each in excesses_j_per_g(0.333)]
[-35.7, -10.5, 8.2]
"""

import math
from functools import lru_cache

from server.domain.glass.figures import Figure

AT_C = (25.0, 65.0, 105.0)
"""Larkin's coldest measurement and two above it: his polynomial is of the second degree in
temperature, so that its values at three temperatures give those between them exactly."""

_COLDEST_C, _STEP_K = AT_C[0], AT_C[1] - AT_C[0]

HOTTEST_C = 110.0

MIXING_SHARE = Figure(
    1.0,
    0.7,
    1.0,
    source="measured: 6.5 °C where the polynomial gives 7.3 (95 and 0 % vol, a laboratory class)",
)
"""How much of that heat comes: a class measured nine tenths (in a vessel that takes heat too); the
thinner the mixture the more the polynomial says too much."""

SOLUTION_J_PER_MOL, SOLUTION_J_PER_MOL_K = -10_200.0, 150.0
"""What a mole of ethanol sets free in much water at 25 °C, and how that changes with temperature
(from memory; a textbook, Novak et al., has -9,800 in 49 times as much water)."""

_COEFFICIENTS = (
    (-3.63868e5, 1.83829e3, -2.32763),
    (9.25982e5, -4.83586e3, 6.37228),
    (-14.04894e5, 7.51661e3, -10.11280),
    (10.91318e5, -5.89498e3, 7.98868),
    (-2.79986e5, 1.50557e3, -2.03127),
)
"""Rows for x to the powers 0, 0.5, 1.5, 2.5 and 4.5; each is a + b T + c T2 (T in K)."""

_ETHANOL_G_PER_MOL, _WATER_G_PER_MOL = 46.069, 18.015

Three = tuple[float, float, float]
_Terms = tuple[float, float, float, float, float, float]


@lru_cache(maxsize=1024)
def excesses_j_per_g(ethanol_fraction: float) -> Three:
    """Enthalpy of a gram of a mixture beyond that of its parts, at each of AT_C.

    Below 0 where mixing sets heat free; by mass fraction of ethanol.
    """
    ethanol_mol = ethanol_fraction / _ETHANOL_G_PER_MOL
    both_mol = ethanol_mol + (1 - ethanol_fraction) / _WATER_G_PER_MOL
    x = ethanol_mol / both_mol
    cool, warm, hot = _AT
    return _excess(x, cool) * both_mol, _excess(x, warm) * both_mol, _excess(x, hot) * both_mol


def between(values: Three, temp_c: float) -> float:
    """What lies at a temperature where these hold at AT_C."""
    cool, warm, hot = values
    # Newton's form: steps of 40 K from the first.
    steps = (_held_c(temp_c) - _COLDEST_C) / _STEP_K
    return cool + steps * (warm - cool) + steps * (steps - 1) / 2 * (hot - 2 * warm + cool)


def _held_c(temp_c: float) -> float:
    if temp_c < _COLDEST_C:
        return _COLDEST_C
    return HOTTEST_C if temp_c > HOTTEST_C else temp_c


def _terms(temp_c: float) -> _Terms:
    held_c = _held_c(temp_c)
    kelvin = held_c + 273.15
    a, b, c, d, e = (row[0] + row[1] * kelvin + row[2] * kelvin**2 for row in _COEFFICIENTS)
    return a, b, c, d, e, SOLUTION_J_PER_MOL + SOLUTION_J_PER_MOL_K * (held_c - AT_C[0])


def _excess(x: float, terms: _Terms) -> float:
    a, b, c, d, e, in_much_water = terms
    fitted = x * (1 - x) * (a + math.sqrt(x) * (b + x * (c + x * (d + x * x * e))))
    return max(fitted, min(in_much_water, 0.0) * x)


_AT = (_terms(AT_C[0]), _terms(AT_C[1]), _terms(AT_C[2]))
