"""What an ingredient is made of, as far as it is known: the properties behind every number.

A property that is None is not known. It is named wherever it would have counted, and never taken
as zero, except where the kind of the ingredient settles it (there is no fat in a spirit).

>>> gin = Substance(kind="spirit", abv=Figure(45.0), sugar=Content(0.0))
>>> gin.lacks("acid"), gin.lacks("caffeine"), Substance(kind="other").lacks("sugar")
(False, False, True)
"""

from dataclasses import dataclass, fields, replace
from typing import Annotated, Literal, get_args

from pydantic import Field

from server.domain.base.amounts import Amount
from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.glass.allergens import ALLERGENS, Allergen
from server.domain.glass.brew import Brew, brewed
from server.domain.glass.figures import Content, Figure
from server.domain.glass.sugar import CRYSTAL_G_PER_100_ML

Kind = Literal[
    "spirit", "liqueur", "wine", "beer", "bitters", "syrup", "juice", "soda", "dairy", "coffee",
    "tea", "water", "ice", "sugar", "acid", "salt", "egg", "nut", "garnish", "other",
]  # fmt: skip

KINDS: tuple[Kind, ...] = get_args(Kind)

Property = Literal[
    "abv", "sugar", "acid", "fat", "protein", "caffeine", "carbohydrate", "allergens"
]

PROPERTY_WORDS: dict[Property, str] = {
    "abv": "strength",
    "sugar": "sugar",
    "acid": "acid",
    "fat": "fat",
    "protein": "protein",
    "caffeine": "caffeine",
    "carbohydrate": "other carbohydrate",
    "allergens": "allergens",
}

_ALL = frozenset(PROPERTY_WORDS)
_FERMENTED = frozenset({"fat", "protein", "caffeine"})
_BODY = _FERMENTED | {"carbohydrate"}

SETTLED: dict[Kind, frozenset[str]] = {
    "spirit": _BODY | {"acid", "allergens"},
    "liqueur": _BODY,
    "wine": _FERMENTED,
    "beer": _FERMENTED,
    "bitters": _BODY,
    "syrup": _BODY | {"abv"},
    "juice": _BODY | {"abv"},
    "soda": frozenset({"abv", "fat", "protein", "carbohydrate"}),
    "dairy": frozenset({"abv", "caffeine", "carbohydrate"}),
    "coffee": frozenset({"abv", "sugar", "fat", "protein", "carbohydrate", "allergens"}),
    "tea": frozenset({"abv", "sugar", "fat", "protein", "carbohydrate", "allergens"}),
    "water": _ALL,
    "ice": _ALL,
    "sugar": _ALL - {"sugar"},
    "acid": _ALL - {"acid"},
    "salt": _ALL,
    "egg": frozenset({"abv", "acid", "caffeine", "carbohydrate"}),
    "nut": frozenset({"abv", "acid", "caffeine", "carbohydrate"}),
    "garnish": _ALL - {"allergens"},
    "other": frozenset({"carbohydrate"}),
}
"""Kind -> the properties that are none where nothing else is given (for a juice or a wine: a trace
that no number here would show). Whoever knows better gives the property, or the kind "other"."""

DRY: frozenset[Kind] = frozenset({"sugar", "acid", "salt"})
"""Kinds that dissolve: their own bulk is gone once they are in the drink."""


@dataclass(frozen=True)
class Cost(Document):
    """A price, in whatever currency the person keeps, for so much of an ingredient."""

    price: Annotated[float, Field(ge=0, le=1_000_000)]
    amount: Amount

    def __post_init__(self) -> None:
        if not (0 <= self.price <= 1_000_000 and self.amount.value > 0):
            refuse_if([Fault("cost", "A cost is a price of 0 or more for some amount.")])


@dataclass(frozen=True)
class Substance(Document):
    """The properties of an ingredient, each None where it is not known."""

    kind: Kind = "other"
    abv: Figure | None = None
    """Strength, % vol at 20 °C."""
    sugar: Content | None = None
    """Sugars, g; per 100 g this is Brix."""
    acid: Content | None = None
    """Titratable acid, g as citric acid."""
    fat: Content | None = None
    protein: Content | None = None
    solids: Content | None = None
    """Other dissolved solids, g (of coffee: its TDS); they count in mass, not in sweetness."""
    carbohydrate: Content | None = None
    """Carbohydrate beside sugar that feeds, g: dextrins of beer, glycerol of wine."""
    caffeine: Content | None = None
    """Caffeine, mg."""
    density: Figure | None = None
    """g/ml at 20 °C; worked out from the rest where it is None."""
    ph: Figure | None = None
    temp_c: Figure | None = None
    """Temperature at which it goes into the drink."""
    piece_g: Figure | None = None
    """Mass of one piece."""
    allergens: tuple[Allergen, ...] | None = None
    allergens_open: bool = False
    """Whether it may hold others than those listed: only these are certain."""
    cost: Cost | None = None

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def lacks(self, name: Property) -> bool:
        """Whether that property counts for this ingredient and is not (wholly) known."""
        is_open = name == "allergens" and self.allergens_open
        return (is_open or getattr(self, name) is None) and name not in SETTLED[self.kind]

    @property
    def figures(self) -> dict[str, Figure]:
        """Its figures that are known, by name."""
        found = {each.name: getattr(self, each.name) for each in fields(self)}
        return {name: each for name, each in found.items() if isinstance(each, Figure)}

    @property
    def typed(self) -> tuple[str, ...]:
        """Names of the figures that the person typed: these came with no source."""
        return tuple(name for name, each in self.figures.items() if not each.source)

    def _fits(self) -> bool:
        """Whether alcohol, sugar and the rest have room in 100 ml, or in 100 g."""
        dissolved = (self.sugar, self.carbohydrate, self.fat, self.protein, self.solids)
        held = [content for content in dissolved if content]
        by_mass_g = sum(content.value for content in held if content.per == "100 g")
        by_volume_g = sum(content.value for content in held if content.per == "100 ml")
        abv = self.abv.value if self.abv else 0.0
        return by_mass_g <= 100 and abv + _ML_PER_G_DISSOLVED * by_volume_g <= 103

    def _faults(self) -> list[Fault]:
        faults = [
            Fault(name, words)
            for name, low, high, words in _LIMITS
            if not _within(getattr(self, name), low, high)
        ]
        if self.kind not in KINDS:
            faults.append(Fault("kind", "Choose a kind from the list."))
        faults += [_mass_fault(name) for name in _BY_MASS if _over_100(getattr(self, name))]
        if self.sugar is not None and self.sugar.most > CRYSTAL_G_PER_100_ML:
            faults.append(Fault("sugar", "Nothing holds more sugar than sugar itself."))
        elif not faults and not self._fits():
            faults.append(Fault("sugar", "So much of everything does not fit together."))
        if not set(self.allergens or ()) <= set(ALLERGENS):
            faults.append(Fault("allergens", "Choose allergens from the list."))
        if self.allergens_open and not self.allergens:
            faults.append(Fault("allergens", "Name those that are in it, or none where unknown."))
        return faults


_ML_PER_G_DISSOLVED = 0.62

_LIMITS = (
    ("abv", 0, 100, "A strength lies between 0 and 100 % vol."),
    ("sugar", 0, 1000, "Sugar cannot be negative."),
    ("acid", 0, 200, "Acid lies between 0 and 200 g, as citric acid."),
    ("fat", 0, 100, "Fat lies between 0 and 100 g."),
    ("protein", 0, 100, "Protein lies between 0 and 100 g."),
    ("carbohydrate", 0, 200, "Other carbohydrate lies between 0 and 200 g."),
    ("solids", 0, 200, "Solids lie between 0 and 200 g."),
    ("caffeine", 0, 5000, "Caffeine lies between 0 and 5,000 mg."),
    ("density", 0.3, 3, "A density lies between 0.3 and 3 g/ml."),
    ("ph", 0, 14, "A pH lies between 0 and 14."),
    ("temp_c", -80, 110, "A temperature lies between −80 and 110 °C."),
    ("piece_g", 0, 10_000, "A piece weighs between 0 and 10,000 g."),
)

_BY_MASS = ("sugar", "carbohydrate", "fat", "protein", "solids")


def _within(figure: Figure | None, low: float, high: float) -> bool:
    return figure is None or (low <= figure.least and figure.most <= high)


def _over_100(content: Content | None) -> bool:
    return content is not None and content.per == "100 g" and content.most > 100


def _mass_fault(name: str) -> Fault:
    words = "More than 100 g in 100 g cannot be."
    return Fault(name, "Sugar lies between 0 and 100 Brix." if name == "sugar" else words)


def coffee_of(brew: Brew, base: Substance | None = None) -> Substance:
    """The substance that a brew yields: its strength as solids, its caffeine from the dose.

    What `base` says besides (temperature, cost, acid) stays.
    """
    cup = brewed(brew)
    given = base or Substance(kind="coffee")
    tds, caffeine_mg, beverage_ml = cup.tds_percent, cup.caffeine_mg, cup.beverage_ml
    solids = None if tds is None else Content(tds.value, tds.low, tds.high, "brew", "100 g")
    caffeine = given.caffeine
    if caffeine_mg is not None and beverage_ml is not None:
        shares = caffeine_mg.times(100 / beverage_ml.value)
        caffeine = Content(shares.value, shares.low, shares.high, "brew")
    return replace(given, kind="coffee", solids=solids or given.solids, caffeine=caffeine)
