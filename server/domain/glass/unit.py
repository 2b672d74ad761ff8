"""How much an amount of a substance is: its composition as plain numbers, and what fills 100 ml.

>>> from server.domain.glass.figures import Content
>>> syrup = Substance(kind="syrup", sugar=Content(50, per="100 g"), acid=Content(0.0))
>>> units = measured(Amount(20, "ml"), syrup, None).units
>>> round(mass_g(poured(syrup, composition_of(syrup), units)), 1)
24.6
"""

from functools import lru_cache
from typing import NamedTuple

from server.domain.base.amounts import BAR_MEASURES_ML, Amount
from server.domain.glass.alcohol import ethanol_g
from server.domain.glass.figures import Content, Figure
from server.domain.glass.liquid import Liquid, mass_g, scaled, told, unmixed, volume_ml
from server.domain.glass.substance import DRY, Substance

_CONTENTS = ("sugar", "carbohydrate", "acid", "fat", "protein", "solids", "caffeine")
NAMES = ("abv", *_CONTENTS, "density")
_DENSITY = NAMES.index("density")

LEAST_PACK = 1e-9
"""A price for less than this many units (100 ml) is a price for nothing."""

Values = tuple[float, ...]


class Composition(NamedTuple):
    """A substance as plain numbers, in the order of NAMES (density 0: to be worked out)."""

    values: Values
    by_mass: tuple[bool, ...]
    dry: bool

    def at(self, index: int, value: float) -> "Composition":
        """The composition with one of its values changed."""
        values = (*self.values[:index], value, *self.values[index + 1 :])
        return Composition(values, self.by_mass, self.dry)


class UnitMeasure(NamedTuple):
    """How often the unit of a substance an amount is, and the factors of the amount's range."""

    units: float
    low: float = 1.0
    high: float = 1.0


def measured(amount: Amount, substance: Substance, part_ml: float | None) -> UnitMeasure | str:
    """How many units (100 ml; of dry things 100 g) an amount is, or what is missing to tell."""
    grams = amount.mass_g
    if amount.counts_pieces and substance.piece_g is not None:
        grams = amount.value * substance.piece_g.value
    if grams is not None:
        return _in_grams(grams, substance, amount)
    if amount.counts_pieces:
        return f"say how much one {amount.unit} weighs."
    if amount.unit == "part" and part_ml is None:
        return "say how large one part is."
    ml = amount.value * (part_ml or 0.0) if amount.unit == "part" else amount.volume_ml or 0.0
    return _in_ml(ml, substance, amount)


def _in_grams(grams: float, substance: Substance, amount: Amount) -> UnitMeasure:
    units = grams / mass_g(unit_of(composition_of(substance)))
    piece_g = substance.piece_g
    if amount.counts_pieces and piece_g is not None and piece_g.value > 0:
        return UnitMeasure(units, piece_g.least / piece_g.value, piece_g.most / piece_g.value)
    return UnitMeasure(units)


def _in_ml(ml: float, substance: Substance, amount: Amount) -> UnitMeasure | str:
    if substance.kind in DRY:
        return _in_bulk(ml, substance.density)
    low_ml, high_ml = BAR_MEASURES_ML.get(amount.unit, (1.0, 1.0))
    middle_ml = (low_ml + high_ml) / 2
    return UnitMeasure(ml / 100, low_ml / middle_ml, high_ml / middle_ml)


def _in_bulk(ml: float, density: Figure | None) -> UnitMeasure | str:
    """Dry things by volume: grams follow from what a millilitre weighs, loosely filled."""
    if density is None:
        return "say what a millilitre of it weighs, or give grams."
    bulk = density.value
    return UnitMeasure(ml * bulk / 100, density.least / bulk, density.most / bulk)


def composition_of(substance: Substance) -> Composition:
    """A substance as plain numbers; what is not known of it counts as none here."""
    contents: list[Content | None] = [getattr(substance, name) for name in _CONTENTS]
    return Composition(
        (
            substance.abv.value if substance.abv else 0.0,
            *[content.value if content else 0.0 for content in contents],
            substance.density.value if substance.density else 0.0,
        ),
        tuple([content is not None and content.per == "100 g" for content in contents]),
        substance.kind in DRY,
    )


@lru_cache(maxsize=4096)
def unit_of(composition: Composition) -> Liquid:
    """100 ml of a substance, or 100 g of a dry one."""
    if composition.dry:
        dry = _of_mass(composition, 100.0)
        return unmixed(dry._replace(apart_ml=volume_ml(dry)))
    density = composition.values[_DENSITY]
    unit = _of_mass(composition, 100.0 * density if density else _mass_of_100_ml_g(composition))
    return unmixed(unit._replace(extra_ml=100.0 - volume_ml(unit), apart_ml=100.0))


def _mass_of_100_ml_g(composition: Composition) -> float:
    """The mass at which a composition fills 100 ml, by the secant method."""
    before_g, now_g = 80.0, 100.0
    short_before_ml = 100.0 - volume_ml(_of_mass(composition, before_g))
    short_ml = 100.0 - volume_ml(_of_mass(composition, now_g))
    while abs(short_ml) > 1e-11 and short_ml != short_before_ml:
        slope = (now_g - before_g) / (short_ml - short_before_ml)
        before_g, short_before_ml, now_g = now_g, short_ml, now_g - short_ml * slope
        short_ml = 100.0 - volume_ml(_of_mass(composition, now_g))
    return now_g


def _of_mass(composition: Composition, grams: float) -> Liquid:
    """A substance of which `grams` are 100 ml: what is not named in it is water."""
    alcohol_g = ethanol_g(100.0, composition.values[0])
    sugar_g, starch_g, acid_g, fat_g, protein_g, other_g, caffeine_mg = (
        value * grams / 100 if by_mass else value
        for value, by_mass in zip(composition.values[1:_DENSITY], composition.by_mass, strict=True)
    )
    solids_g = sugar_g + starch_g + acid_g + other_g
    if composition.dry:
        # The powder is its own mass, even where its acid counts as more than that of citric acid.
        solids_g = min(solids_g, grams)
    return Liquid(
        water_g=max(0.0, grams - alcohol_g - solids_g - fat_g - protein_g),
        ethanol_g=alcohol_g,
        solids_g=solids_g,
        protein_g=protein_g,
        fat_g=fat_g,
        sugar_g=sugar_g,
        carbohydrate_g=starch_g,
        acid_g=acid_g,
        caffeine_mg=caffeine_mg,
    )


def unit_price(substance: Substance) -> float | None:
    """What a unit costs; None where no cost is known, or not how much it is the cost of."""
    if substance.cost is None:
        return None
    pack = measured(substance.cost.amount, substance, None)
    if isinstance(pack, str) or pack.units < LEAST_PACK:
        return None
    return substance.cost.price / pack.units


def poured(substance: Substance, composition: Composition, units: float) -> Liquid:
    """So many units of that composition, at the substance's temperature and cost."""
    warmth = substance.temp_c
    unit = unit_of(composition) if warmth is None else _told_unit(composition, warmth.value)
    liquid = scaled(unit, units)
    price = unit_price(substance)
    return liquid if price is None else liquid._replace(cost=price * units)


@lru_cache(maxsize=4096)
def _told_unit(composition: Composition, temp_c: float) -> Liquid:
    """A unit of it at a temperature: heats grow with the mass, so any amount is so many units."""
    return told(unit_of(composition), temp_c)
