"""Brewing coffee: what dose, water, strength and extraction say about each other.

Two balances tie them: beverage = water - held x dose, and extraction = beverage x strength /
dose. Any four of dose, water, liquid held by the grounds, beverage, strength and extraction give
the rest; liquid held is taken from its usual range where it is not given, so three are enough.

>>> cup = brewed(Brew(dose_g=55, water_g=1000, held_g_per_g=2.0, tds_percent=1.25))
>>> round(cup.beverage_g.value), round(cup.extraction_percent.value, 2), cup.place
(890, 20.23, 'usual range for filter coffee')
"""

from dataclasses import dataclass, fields
from typing import Literal

from pydantic import ConfigDict

from server.domain.base.errors import CannotTell, Fault, refuse_if
from server.domain.glass.figures import TYPICAL, Estimate, Figure
from server.domain.glass.sugar import density_g_per_l

HELD_G_PER_G = Figure(
    2.0, 1.5, 2.5, source="practice texts; a drip machine in Foods 10, 1208 (2021) held 1.9"
)
"""Liquid that grounds keep, g per g of coffee, where nobody weighed it."""

TDS_BOX = (1.15, 1.35)
EXTRACTION_BOX = (18.0, 22.0)
"""The classic chart for filter coffee, in per cent (Lockhart, 1957)."""

FILTER_TDS_LIMIT = 3.0
"""Stronger than this is espresso or concentrate, where the box says nothing (ours)."""

MOST_EXTRACTION = 40.0
"""Less than a third of roasted coffee dissolves; beyond this a number was mistyped (ours)."""

Bean = Literal["arabica", "robusta"]

CAFFEINE_MG_PER_G: dict[Bean, Figure] = {
    "arabica": Figure(12.0, 8.0, 14.0, source="Belitz et al. 2009, dry weight, unroasted"),
    "robusta": Figure(22.0, 17.0, 40.0, source="Belitz et al. 2009, dry weight, unroasted"),
}
"""Caffeine in the coffee."""

CAFFEINE_EXTRACTED = Figure(0.85, 0.6, 1.0, source=TYPICAL)
"""Share of the caffeine that a brew takes out."""

QUANTITIES = {
    "dose_g": "dose",
    "water_g": "water",
    "held_g_per_g": "liquid held by the grounds",
    "beverage_g": "beverage",
    "tds_percent": "strength (TDS)",
    "extraction_percent": "extraction",
}
"""Field of a brew -> its name."""

LEAST_G = 1e-6
"""Less coffee, water or beverage than this is none."""

Known = dict[str, float]


@dataclass(frozen=True)
class Brew:
    """How a coffee is made: what was measured of it, the rest None."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    dose_g: float | None = None
    water_g: float | None = None
    held_g_per_g: float | None = None
    beverage_g: float | None = None
    tds_percent: float | None = None
    extraction_percent: float | None = None
    bean: Bean = "arabica"

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        limits = {"tds_percent": 100.0, "extraction_percent": MOST_EXTRACTION, "held_g_per_g": 5.0}
        faults = []
        for name, value in _given(self).items():
            most = limits.get(name, 100_000.0)
            if not 0 < value <= most:
                words = f"The {QUANTITIES[name]} lies above 0 and up to {most:,g}."
                faults.append(Fault(name, words))
        return faults or self._misfits()

    def _misfits(self) -> list[Fault]:
        known = _solved(_given(self))
        beverage_g, water_g = known.get("beverage_g"), known.get("water_g")
        if beverage_g is not None and beverage_g <= 0:
            return [Fault("dose_g", "The grounds would keep all the water: less coffee, or more.")]
        vanished = [n for n in QUANTITIES if n != "held_g_per_g" and not known.get(n, 1.0) > 0]
        if vanished:
            return [Fault(name, f"These leave no {QUANTITIES[name]}.") for name in vanished[:1]]
        if beverage_g is not None and water_g is not None and beverage_g > water_g * 1.0001:
            return [Fault("beverage_g", "A brew does not yield more than its water.")]
        if known.get("extraction_percent", 0.0) > MOST_EXTRACTION:
            return [Fault("tds_percent", "That is more than coffee gives up: check the numbers.")]
        return _contradiction(known)


@dataclass(frozen=True)
class Brewed:
    """A brew worked out. None where too little is known; `missing` says what would settle it."""

    dose_g: Estimate | None
    water_g: Estimate | None
    held_g_per_g: Estimate | None
    beverage_g: Estimate | None
    beverage_ml: Estimate | None
    tds_percent: Estimate | None
    extraction_percent: Estimate | None
    ratio: Estimate | None
    """Grams of water to one gram of coffee."""
    caffeine_mg: Estimate | None
    place: str
    """Where it stands against the published box, in words."""
    missing: tuple[str, ...]
    assumed: tuple[str, ...]


def brewed(brew: Brew) -> Brewed:
    """Everything that follows from what is known of a brew.

    What its grounds hold back is assumed where it was not measured and the usual fits the rest.
    Raises CannotTell where its numbers give a brew that cannot be.
    """
    given = _given(brew)
    solved = _solved(given)
    if not _can_be(solved):
        raise CannotTell("Dose, beverage and strength of the brew do not fit together.")
    helds = (HELD_G_PER_G.value, HELD_G_PER_G.least, HELD_G_PER_G.most)
    usual = [_solved({**given, "held_g_per_g": held}) for held in helds]
    is_open = "held_g_per_g" not in solved and len(solved) < len(QUANTITIES)
    assumed = is_open and all(map(_can_be, usual))
    cases = usual if assumed else [solved]
    found = {name: _spread([case.get(name) for case in cases]) for name in QUANTITIES}
    return Brewed(
        **found,
        beverage_ml=_spread([_beverage_ml(case) for case in cases]),
        ratio=_spread([_ratio(case) for case in cases]),
        caffeine_mg=_caffeine(found["dose_g"], brew.bean),
        place=_place(found["tds_percent"], found["extraction_percent"]),
        missing=tuple(words for name, words in QUANTITIES.items() if found[name] is None),
        assumed=(QUANTITIES["held_g_per_g"],) if assumed else (),
    )


def _can_be(case: Known) -> bool:
    """Whether what was worked out of a brew is a brew at all."""
    poured = all(case.get(name, 1.0) >= LEAST_G for name in ("dose_g", "water_g", "beverage_g"))
    return poured and case.get("tds_percent", 0.0) <= 100


def _given(brew: Brew) -> Known:
    values = {field.name: getattr(brew, field.name) for field in fields(brew)}
    return {name: values[name] for name in QUANTITIES if values[name] is not None}


def _solved(given: Known) -> Known:
    """What follows from `given` by the two balances, used as often as they say something new."""
    known = dict(given)
    while True:
        news = {**_from_water(known), **_from_strength(known), **_from_both(known)}
        news = {name: value for name, value in news.items() if name not in known}
        if not news:
            return known
        known.update(news)


def _from_water(known: Known) -> Known:
    """What beverage = water - held x dose gives, where one of the four is missing."""
    names = ("water_g", "beverage_g", "held_g_per_g", "dose_g")
    water, beverage, held, dose = (known.get(name) for name in names)
    if water is not None and held is not None and dose is not None:
        return {"beverage_g": water - held * dose}
    if beverage is not None and held is not None and dose is not None:
        return {"water_g": beverage + held * dose}
    if water is not None and beverage is not None and dose:
        return {"held_g_per_g": (water - beverage) / dose}
    if water is not None and beverage is not None and held is not None:
        return {"dose_g": (water - beverage) / held}
    return {}


def _from_strength(known: Known) -> Known:
    """What extraction x dose = beverage x strength gives, where one of the four is missing."""
    names = ("extraction_percent", "dose_g", "beverage_g", "tds_percent")
    extraction, dose, beverage, tds = (known.get(name) for name in names)
    if dose and beverage is not None and tds is not None:
        return {"extraction_percent": beverage * tds / dose}
    if extraction is not None and beverage is not None and tds is not None:
        return {"dose_g": beverage * tds / extraction}
    if extraction is not None and dose is not None and tds is not None:
        return {"beverage_g": extraction * dose / tds}
    if extraction is not None and dose is not None and beverage:
        return {"tds_percent": extraction * dose / beverage}
    return {}


def _from_both(known: Known) -> Known:
    """The dose where only water, liquid held, strength and extraction are known."""
    names = ("water_g", "held_g_per_g", "tds_percent", "extraction_percent")
    if "dose_g" in known or not all(name in known for name in names):
        return {}
    water, held, tds, extraction = (known[name] for name in names)
    return {"dose_g": water * tds / (extraction + held * tds)}


def _contradiction(known: Known) -> list[Fault]:
    if len(known) < len(QUANTITIES):
        return []
    by_water_g = known["water_g"] - known["held_g_per_g"] * known["dose_g"]
    by_strength_g = known["extraction_percent"] * known["dose_g"] / known["tds_percent"]
    for beverage_g in (by_water_g, by_strength_g):
        if abs(beverage_g - known["beverage_g"]) > 0.02 * known["beverage_g"]:
            words = (
                f"These do not fit together: they give {beverage_g:.0f} g of beverage and "
                f"{known['beverage_g']:.0f} g. Leave one out and it is worked out."
            )
            return [Fault("beverage_g", words)]
    return []


def _spread(values: list[float | None]) -> Estimate | None:
    known = [value for value in values if value is not None]
    return Estimate(known[0], min(known), max(known)) if known else None


def _beverage_ml(case: Known) -> float | None:
    """Volume at 20 °C, its dissolved coffee taken as sucrose."""
    beverage_g = case.get("beverage_g")
    if beverage_g is None:
        return None
    return 1000 * beverage_g / density_g_per_l(case.get("tds_percent", 0.0))


def _ratio(case: Known) -> float | None:
    dose_g, water_g = case.get("dose_g"), case.get("water_g")
    return None if dose_g is None or water_g is None else water_g / dose_g


def _caffeine(dose_g: Estimate | None, bean: Bean) -> Estimate | None:
    """Caffeine of the whole brew: what the dose holds, as far as a brew takes it out."""
    if dose_g is None:
        return None
    held, out = CAFFEINE_MG_PER_G[bean], CAFFEINE_EXTRACTED
    return Estimate(
        dose_g.value * held.value * out.value,
        dose_g.low * held.least * out.least,
        dose_g.high * held.most * out.most,
    )


def _place(tds: Estimate | None, extraction: Estimate | None) -> str:
    if tds is None or extraction is None:
        return "not known whether usual: strength or extraction is missing"
    if tds.value > FILTER_TDS_LIMIT:
        return "far stronger than filter coffee"
    strength = _side(tds.value, TDS_BOX, "weak", "strong")
    taken = _side(extraction.value, EXTRACTION_BOX, "under-extracted", "over-extracted")
    said = [word for word in (strength, taken) if word]
    return " and ".join(said) or "usual range for filter coffee"


def _side(value: float, box: tuple[float, float], below: str, above: str) -> str:
    # The last decimal of a refractometer: 1.35 read is inside a box that ends at 1.35.
    if value < box[0] - 1e-9:
        return below
    return above if value > box[1] + 1e-9 else ""
