"""Acid: how strongly juices are acid, and what they do to milk.

Casein comes out of milk at its isoelectric point, pH 4.6 (Aydogdu et al., Dairy 4, 395, 2023).
How much acid it takes to get there is the weak point: no table was found that gives it, so the
buffering of milk here is a range from memory of dairy chemistry texts, 0.055 mol of H+ per litre
from pH 6.6 to 4.6 (0.045 to 0.065). Measure your own milk before you rely on it. Heat, ethanol
and calcium are outside the model; the first two let milk curdle at a higher pH.

>>> round(juice_to_curdle_ml(100, citric_mol_per_l=0.2387), 1)
18.0
>>> round(ph_of_milk_with(100, [AcidPour(30, 0.2387, 2.3)]), 2)
4.08
"""

import math
import re
from collections.abc import Sequence
from typing import Literal, NamedTuple

from server.domain.base.crossing import falling_root
from server.domain.base.errors import CannotTell
from server.domain.glass.figures import Figure

CITRIC_PKA = (3.127, 4.759, 6.397)
"""Dissociation of citric acid at 25 °C (Benezeth, Palmer, Wesolowski, J. Solution Chem. 1997)."""

CITRIC_G_PER_MOL = 192.12
"""Anhydrous citric acid (Apelblat, Citric Acid, 2014); the monohydrate has 210.14."""


class Acid(NamedTuple):
    """An acid: its molar mass, the protons that titrating it to pH 8.2 counts, and its pKa."""

    g_per_mol: float
    protons: int
    pka: tuple[float, ...]


CITRIC = Acid(CITRIC_G_PER_MOL, 3, CITRIC_PKA)

ACIDS = {
    "citric": CITRIC,
    "malic": Acid(134.09, 2, (3.40, 5.11)),
    "tartaric": Acid(150.09, 2, (2.98, 4.34)),
    "lactic": Acid(90.08, 1, (3.86,)),
    "acetic": Acid(60.05, 1, (4.756,)),
    "phosphoric": Acid(98.00, 2, (2.15, 7.20, 12.35)),
}
"""The acids of a bar. pKa at 25 °C as the CRC Handbook of Chemistry and Physics has them (those
but phosphoric and citric acid's read in other tables; of malic acid others have 5.2). The third
proton of phosphoric acid comes off above pH 12: nobody tastes or titrates it."""

_NAMED = {
    "phosphoric": r"phosphoric|acid phosphate|phosphors(?:ä|ae)ure|phosphorique|fosf[óo]rico",
    "malic": r"malic acid|[äa]pfels(?:ä|ae)ure|malique|[áa]cido m[áa]lico",
    "tartaric": r"tartaric|weins(?:ä|ae)ure|tartrique|tart[áa]rico",
    "lactic": r"lactic acid|milchs(?:ä|ae)ure|lactique|[áa]cido l[áa]c?tt?ico",
    "acetic": r"acetic|vinegar|essigs(?:ä|ae)ure|essig|ac[ée]tique|vinaigre|ac[ée]tico|vinagre"
    r"|aceto",
}
_NAMES = re.compile("|".join(rf"(?P<{acid}>\b(?:{words})\b)" for acid, words in _NAMED.items()))

AS_CITRIC = {
    "citric monohydrate": 192.12 / 210.14,
    **{
        name: acid.protons / acid.g_per_mol * CITRIC_G_PER_MOL / CITRIC.protons
        for name, acid in ACIDS.items()
    },
}
"""Grams of citric acid that neutralise as much as one gram of each acid, by protons per mole."""

CASEIN_PH = 4.6
MILK_PH = 6.6
"""Mean of cow's milk at 25 °C, 6.5 to 6.7 (Fox and McSweeney, Dairy Chemistry, p. 450)."""

MILK_DEMAND_MOL_PER_L = Figure(
    0.055, 0.045, 0.065, source="dairy chemistry texts, from memory: measure your own"
)
"""Strong acid that takes a litre of milk from pH 6.6 to 4.6."""

JUICE_PH = 2.3
"""Taken for lime and lemon where no pH is given (FDA, Approximate pH of Foods: 2.0 to 2.6)."""

WILL_PH, UNLIKELY_PH = 4.4, 5.3
"""Our bands: at or below the first milk curdles; above the second acid alone is unlikely to.
Never a promise that milk stays smooth."""

UNLIKELY_EASED_PH = 5.8
"""The second band where warmth or spirit help: direct-acidified curd is set hot at pH 5.2 to 5.6
(cheese literature), so the margin above that is ours."""

Verdict = Literal["will curdle", "may curdle", "unlikely from acid alone"]


class AcidPour(NamedTuple):
    """A volume (ml) with that much of an acid in it (mol/l) and that pH."""

    volume_ml: float
    mol_per_l: float
    ph: float
    acid: Acid = CITRIC


class Curdling(NamedTuple):
    """What acid does to the milk in a drink: pH likely, lowest, highest; margin below casein's."""

    ph: float
    ph_low: float
    ph_high: float
    verdict: Verdict


def protons_released(ph: float, acid: Acid = CITRIC) -> float:
    """Mean protons that a molecule of an acid has given off at that pH: from 0 to all it has."""
    # Shares of the molecules by how many are gone, against the share of those with all of them.
    shares, share = [1.0], 1.0
    for pka in acid.pka:
        share *= math.pow(10.0, ph - pka)
        shares.append(share)
    return sum(gone * each for gone, each in enumerate(shares)) / sum(shares)


def citric_mol_per_l(acid_g_per_l: float) -> float:
    """Molarity of so many grams of citric acid (anhydrous) in a litre."""
    return acid_g_per_l / CITRIC_G_PER_MOL


def acid_named(name: str) -> Acid:
    """The acid that the name of an ingredient tells of; citric where it tells of none.

    >>> acid_named("Phosphoric acid solution, 10 %").pka, acid_named("Lemon juice").protons
    ((2.15, 7.2, 12.35), 3)
    """
    found = _NAMES.search(name.casefold())
    return ACIDS[found.lastgroup or "citric"] if found else CITRIC


def pour_of(volume_ml: float, as_citric_g: float, ph: float, acid: Acid = CITRIC) -> AcidPour:
    """A volume that holds so much of an acid, counted as grams of citric acid."""
    protons = CITRIC.protons * citric_mol_per_l(1000 * as_citric_g / volume_ml)
    return AcidPour(volume_ml, protons / acid.protons, ph, acid)


def juice_to_curdle_ml(
    milk_ml: float,
    citric_mol_per_l: float,
    juice_ph: float = JUICE_PH,
    demand_mol_per_l: float = MILK_DEMAND_MOL_PER_L.value,
) -> float:
    """Juice (ml) that takes that much cold milk to pH 4.6: D / (C (n(4.6) - n(pH)) + free acid)."""
    juice = AcidPour(1.0, citric_mol_per_l, juice_ph)
    gives_mol_per_l = _given_mol_per_l(juice, CASEIN_PH) - _given_mol_per_l(juice, juice_ph)
    if gives_mol_per_l <= 0:
        raise CannotTell("This juice is not acid enough to bring milk to pH 4.6.")
    return milk_ml * demand_mol_per_l / gives_mol_per_l


def citric_to_curdle_g(
    milk_ml: float, demand_mol_per_l: float = MILK_DEMAND_MOL_PER_L.value
) -> float:
    """Citric acid powder (anhydrous, g) that takes that much cold milk to pH 4.6."""
    return milk_ml / 1000 * demand_mol_per_l / protons_released(CASEIN_PH) * CITRIC_G_PER_MOL


def ph_of_milk_with(
    milk_ml: float,
    pours: Sequence[AcidPour],
    demand_mol_per_l: float = MILK_DEMAND_MOL_PER_L.value,
) -> float:
    """pH of cold milk with acid poured in, the milk buffering evenly from pH 6.6 on down.

    Raises CannotTell where there is no milk.
    """
    if milk_ml <= 0:
        raise CannotTell("There is no milk to acidify.")
    buffer_mol_per_ph = milk_ml * demand_mol_per_l / (MILK_PH - CASEIN_PH)
    given_before = sum(pour.volume_ml * _given_mol_per_l(pour, pour.ph) for pour in pours)

    # The higher the pH, the more the juice gives and the less the milk takes up: one crossing.
    def uptake_left(ph: float) -> float:
        given = sum(pour.volume_ml * _given_mol_per_l(pour, ph) for pour in pours) - given_before
        return buffer_mol_per_ph * (MILK_PH - ph) - given

    return falling_root(uptake_left, 1.0, MILK_PH)


def curdling(
    milk_ml: float,
    pours: Sequence[AcidPour],
    demand: Figure = MILK_DEMAND_MOL_PER_L,
    eased: bool = False,
    ends: tuple[Sequence[AcidPour], Sequence[AcidPour]] | None = None,
) -> Curdling:
    """What the acid does to the milk, over the whole range of its buffering and of the acid.

    `eased` says that the drink is warm or holds spirit: then milk curdles at a higher pH. `ends`
    are the pours at their weakest and at their strongest, where how acid they are is a range.
    """
    weakest, strongest = ends or (pours, pours)
    likely = ph_of_milk_with(milk_ml, pours, demand.value)
    low = ph_of_milk_with(milk_ml, strongest, demand.least)
    high = ph_of_milk_with(milk_ml, weakest, demand.most)
    unlikely_ph = UNLIKELY_EASED_PH if eased else UNLIKELY_PH
    return Curdling(likely, low, high, _verdict(low, high, unlikely_ph))


def _verdict(ph_low: float, ph_high: float, unlikely_ph: float) -> Verdict:
    if ph_high <= WILL_PH:
        return "will curdle"
    return "unlikely from acid alone" if ph_low > unlikely_ph else "may curdle"


def _given_mol_per_l(pour: AcidPour, ph: float) -> float:
    """Protons (mol/l of juice) that its acid has given off at `ph`, less those still free."""
    return pour.mol_per_l * protons_released(ph, pour.acid) - math.pow(10.0, -ph)
