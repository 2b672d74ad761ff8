"""From a line of a recipe to a liquid: amount and substance become masses, with their doubts.

>>> from server.domain.glass.recipe import RecipeLine
>>> parcel = parcel_of(RecipeLine("a", "house liqueur", Amount(20, "ml")))
>>> parcel.unknowns[0].words
'house liqueur: its strength is not known.'
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import NamedTuple, Protocol

from server.domain.base.amounts import Amount
from server.domain.base.errors import reckoning
from server.domain.glass.allergens import Allergen, named_allergens, short_words
from server.domain.glass.brew import Brew, brewed
from server.domain.glass.figure_text import in_its_digits
from server.domain.glass.figures import Figure
from server.domain.glass.liquid import EMPTY, Liquid, mass_g, scaled, told
from server.domain.glass.substance import DRY, PROPERTY_WORDS, Substance, coffee_of
from server.domain.glass.syrup import Syrup, strained_yield_ml, syrup_substance, syrup_warning
from server.domain.glass.unit import (
    NAMES,
    Composition,
    UnitMeasure,
    composition_of,
    measured,
    poured,
    unit_of,
)

MELT = "melt"
"""What an unknown is about where it is the ice that an ingredient melts."""

FREEZING = "freezing"
"""What an unknown is about where it is the temperature at which an ingredient leaves a slush."""


DENSITIES = (0.79, 1.45)
"""Pure alcohol and thick honey (g/ml): what is drunk lies between."""

DENSITY_OFF = 0.1
"""A density that is further from that of its parts is asked about (ours)."""


class AnyRecipeLine(Protocol):
    """A line of a recipe, whatever class holds it."""

    @property
    def id(self) -> str:
        """Names the line within its drink."""

    @property
    def name(self) -> str:
        """What the person calls it."""

    @property
    def amount(self) -> Amount:
        """How much of it, for all serves together."""

    @property
    def substance(self) -> Substance | None:
        """Its properties; None where nothing is known."""

    @property
    def brew(self) -> Brew | None:
        """How it is brewed, where it is coffee made for this drink."""

    @property
    def syrup(self) -> Syrup | None:
        """How it is cooked, where it is a syrup made for this drink."""

    @property
    def after_step_id(self) -> str | None:
        """The step after which it goes in; None for what is there from the start."""


class Unknown(NamedTuple):
    """A property that is not known and would have counted, in words for the person."""

    ingredient: str
    about: str
    words: str


class Ends(NamedTuple):
    """A line of a recipe at both ends of one doubt: its amount, or a property of it."""

    about: str
    low: Liquid
    high: Liquid


class Parcel(NamedTuple):
    """A line of a recipe as a liquid, with both ends of each of its doubts."""

    name: str
    after_step_id: str | None
    substance: Substance
    liquid: Liquid
    ends: tuple[Ends, ...] = ()
    unknowns: tuple[Unknown, ...] = ()
    allergens: tuple[Allergen, ...] | None = ()
    """Those that are certain; None where none is known."""
    suspected: tuple[Allergen, ...] = ()
    """Those that its name tells of and nobody ticked."""
    notices: tuple[str, ...] = ()
    brewed_c: float | None = None
    """How hot the water is that it is brewed with, where it is brewed for this drink."""
    ice_g: Figure | None = None
    """What it weighs where it is ice, which is none of the liquid until a step makes it so."""

    @property
    def allergens_doubted(self) -> str:
        """Its name, and what that tells of, where its allergens are not known; "" where they are.

        >>> Parcel("butter", None, Substance(), EMPTY, suspected=("milk",)).allergens_doubted
        'butter (its name tells of milk)'
        """
        if self.suspected:
            told = " and ".join(map(short_words, self.suspected))
            return f"{self.name} (its name tells of {told})"
        return self.name if self.substance.lacks("allergens") else ""


def substance_of(part: AnyRecipeLine) -> Substance:
    """What a line is made of: its brew or its syrup worked out, else its substance as given.

    Raises CannotTell where what is worked out of them cannot be.
    """
    with reckoning(part.name):
        if part.brew is not None:
            return coffee_of(part.brew, part.substance)
        if part.syrup is not None:
            return syrup_substance(part.syrup, part.substance)
    return part.substance or Substance()


def parcel_of(part: AnyRecipeLine, part_ml: float | None = None) -> Parcel:
    """The liquid that a line adds, with its doubts; empty where its amount cannot be told."""
    substance = substance_of(part)
    certain = _allergens(substance)
    named = named_allergens(substance.kind, part.name)
    suspected = tuple(each for each in named if each not in (certain or ()))
    bare = Parcel(
        part.name,
        part.after_step_id,
        substance,
        EMPTY,
        unknowns=(*_lacking(part.name, substance), *_suspects(part.name, suspected)),
        allergens=certain,
        suspected=suspected,
        brewed_c=part.brew.water_c if part.brew else None,
    )
    if substance.kind == "ice":
        return bare._replace(ice_g=_ice_g(part, substance, part_ml))
    if substance.kind == "garnish":
        return bare
    measure = measured(part.amount, substance, part_ml)
    if isinstance(measure, str):
        # A pinch of salt is nothing to any figure but the weight.
        about = "trace" if substance.kind == "salt" else "amount"
        no_amount = Unknown(part.name, about, f"{part.name}: {measure}")
        return bare._replace(unknowns=(no_amount, *bare.unknowns))
    composition = composition_of(substance)
    liquid = poured(substance, composition, measure.units)
    weighed = _is_weighed(part.amount)
    return bare._replace(
        liquid=liquid,
        ends=tuple(_ends(substance, composition, measure, liquid, weighed)),
        unknowns=(*bare.unknowns, *_doubts(part, substance)),
        notices=(*_density_notices(part.name, substance), *_notices(part, liquid)),
    )


def _ice_g(part: AnyRecipeLine, substance: Substance, part_ml: float | None) -> Figure | None:
    """What listed ice weighs; None where it is not weighed: a scoop of it holds much air."""
    measure = measured(part.amount, substance, part_ml)
    if isinstance(measure, str) or not _is_weighed(part.amount):
        return None
    grams = measure.units * mass_g(unit_of(composition_of(substance)))
    return Figure(grams, grams * measure.low, grams * measure.high) if grams > 0 else None


def _is_weighed(amount: Amount) -> bool:
    return amount.counts_pieces or amount.mass_g is not None


def _ends(
    substance: Substance,
    composition: Composition,
    measure: UnitMeasure,
    liquid: Liquid,
    weighed: bool,
) -> Iterator[Ends]:
    """The liquid at both ends of the range of its amount and of each property."""
    if measure.low < measure.high:
        yield Ends("amount", scaled(liquid, measure.low), scaled(liquid, measure.high))
    by_mass = weighed and not composition.dry
    for index, name in enumerate(NAMES):
        figure: Figure | None = getattr(substance, name)
        if figure is None or not figure.is_range or (composition.dry and name == "density"):
            continue
        ends = [composition.at(index, value) for value in (figure.least, figure.most)]
        grams = mass_g(liquid)
        units = [grams / mass_g(unit_of(end)) if by_mass else measure.units for end in ends]
        low, high = map(partial(poured, substance), ends, units)
        yield Ends(name, low, high)
    if substance.temp_c is not None and substance.temp_c.is_range:
        coldest, warmest = substance.temp_c.least, substance.temp_c.most
        yield Ends("temp_c", told(liquid, coldest), told(liquid, warmest))


def _allergens(substance: Substance) -> tuple[Allergen, ...] | None:
    if substance.allergens is not None:
        return substance.allergens
    return None if substance.lacks("allergens") else ()


def _lacking(name: str, substance: Substance) -> Iterator[Unknown]:
    for about, word in PROPERTY_WORDS.items():
        if about == "allergens" and substance.lacks(about) and substance.allergens:
            yield Unknown(name, about, f"{name}: its other allergens are not known.")
        elif substance.lacks(about):
            verb = "are" if about == "allergens" else "is"
            yield Unknown(name, about, f"{name}: its {word} {verb} not known.")


def _suspects(name: str, suspected: tuple[Allergen, ...]) -> Iterator[Unknown]:
    if suspected:
        words = ", ".join(map(short_words, suspected))
        yield Unknown(name, "allergens", f"{name}: its name tells of {words}, which is not ticked.")


def _density_notices(name: str, substance: Substance) -> Iterator[str]:
    """A density that cannot be that of what it is said to hold: most likely a slip."""
    density = substance.density
    if density is None or substance.kind in DRY:
        return
    parts = mass_g(unit_of(composition_of(replace(substance, density=None)))) / 100
    known = not (substance.lacks("abv") or substance.lacks("sugar"))
    low, high = (parts, parts) if known else DENSITIES
    if density.most < low - DENSITY_OFF or density.least > high + DENSITY_OFF:
        holds = f"what it holds weighs about {parts:.2f}" if known else "no drink does"
        yield f"{name}: {density.value:g} g/ml as given, and {holds}: is its density right?"


def _notices(part: AnyRecipeLine, liquid: Liquid) -> Iterator[str]:
    """What is odd about a line that is cooked or brewed for this drink."""
    if part.syrup is not None:
        yield from _syrup_notices(part.name, part.syrup, liquid.apart_ml)
    if part.brew is None:
        return
    cup = brewed(part.brew)
    if cup.missing:
        yield f"{part.name}: not known of its brew: {', '.join(cup.missing)}."
    made_ml = cup.beverage_ml
    if made_ml is not None and liquid.apart_ml > made_ml.high * 1.02:
        yields = f"{in_its_digits(made_ml, 0)} ml"
        yield f"{part.name}: one brew yields about {yields}; the recipe takes more."


def _syrup_notices(name: str, syrup: Syrup, taken_ml: float) -> Iterator[str]:
    if warning := syrup_warning(syrup):
        yield f"{name}: {warning}"
    made = strained_yield_ml(syrup)
    if syrup.by == "grams" and taken_ml > made.high * 1.02:
        yields = f"{in_its_digits(made, 0)} ml"
        yield f"{name}: one cooking yields about {yields}; the recipe takes more."


def _doubts(part: AnyRecipeLine, substance: Substance) -> Iterator[Unknown]:
    if substance.temp_c is None:
        yield Unknown(part.name, "temp", f"{part.name}: its temperature is not known.")
    if substance.density is None and (substance.lacks("abv") or substance.lacks("sugar")):
        about = "volume" if _is_weighed(part.amount) else "mass"
        yield Unknown(part.name, about, f"{part.name}: its {about} is reckoned without that.")
