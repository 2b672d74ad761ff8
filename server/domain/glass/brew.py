"""Brewing coffee: what dose, water, strength and extraction say about each other.

The balances are those of its kind (see `brew_balance`). Of a drip or an immersion any four of
dose, water, liquid held by the grounds, beverage, strength and extraction give the rest; liquid
held is taken from its usual range where it is not given, so three are enough. Of an espresso any
three of dose, beverage, strength and extraction do; its water is not asked.

>>> cup = brewed(Brew(dose_g=55, water_g=1000, held_g_per_g=2.0, tds_percent=1.25))
>>> round(cup.beverage_g.value), round(cup.extraction_percent.value, 2), cup.place
(890, 20.23, 'usual range for filter coffee')
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from server.domain.base.documents import Document
from server.domain.base.durations import LONGEST_S
from server.domain.base.errors import CannotTell, Fault, refuse_if
from server.domain.glass.brew_balance import (
    BREW_KINDS,
    QUANTITIES,
    BrewKind,
    Known,
    contradiction,
    counted,
    solved,
)
from server.domain.glass.figures import TYPICAL, Estimate, Figure
from server.domain.glass.sugar import density_g_per_l

HELD_G_PER_G = Figure(
    2.0, 1.5, 2.5, source="practice texts; a drip machine in Foods 10, 1208 (2021) held 1.9"
)
"""Liquid that grounds keep, g per g of coffee, where nobody weighed it."""

TDS_BOX = (1.15, 1.35)
EXTRACTION_BOX = (18.0, 22.0)
"""The classic chart for filter coffee, in per cent (Lockhart, 1957)."""

FILTER_TDS = (0.8, 2.0)
"""What filter coffee is between, weak or strong, in per cent (common practice, no source)."""

IMMERSION_EXTRACTION = 21.0
"""Full immersion over a wide range of ratios draws about this, per cent, of all its water (Liang et
al., Sci. Rep. 11, 2021)."""

ESPRESSO_TDS, ESPRESSO_EXTRACTION = (7.0, 13.0), (17.0, 23.0)
"""What is usual for espresso, in per cent (common practice, no source)."""


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

LEAST_G = 1e-6
"""Less coffee, water or beverage than this is none."""


@dataclass(frozen=True)
class Brew(Document):
    """How a coffee is made: what was measured of it, the rest None."""

    dose_g: float | None = None
    water_g: float | None = None
    held_g_per_g: float | None = None
    beverage_g: float | None = None
    tds_percent: float | None = None
    extraction_percent: float | None = None
    bean: Bean = "arabica"
    kind: BrewKind = "drip"
    """How water meets coffee: what the numbers say about each other hangs on it."""
    water_c: Annotated[float, Field(ge=0, le=100)] | None = None
    """Temperature of the brewing water."""
    time_s: Annotated[float, Field(gt=0, le=LONGEST_S)] | None = None
    """How long it brews."""

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        limits = {"tds_percent": 100.0, "extraction_percent": MOST_EXTRACTION, "held_g_per_g": 5.0}
        faults = []
        for name, value in _numbers(self).items():
            most = limits.get(name, 100_000.0)
            if not 0 < value <= most:
                words = f"The {QUANTITIES[name]} lies above 0 and up to {most:,g}."
                faults.append(Fault(name, words))
        if self.kind not in BREW_KINDS:
            faults.append(Fault("kind", "Choose drip, immersion or espresso."))
        if self.water_c is not None and not 0 <= self.water_c <= 100:
            faults.append(Fault("water_c", "Brewing water has 0 to 100 °C."))
        if self.time_s is not None and not 0 < self.time_s <= LONGEST_S:
            faults.append(Fault("time_s", "A brew takes up to a day."))
        return faults or self._misfits()

    def _misfits(self) -> list[Fault]:
        known = solved(_given(self), self.kind)
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
        return contradiction(known, self.kind)


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
    kind: BrewKind
    ratio: Estimate | None
    """Grams of water to one gram of coffee; of an espresso, grams of beverage."""
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
    plain = solved(given, brew.kind)
    if not _can_be(plain):
        raise CannotTell("Dose, beverage and strength of the brew do not fit together.")
    names = counted(brew.kind)
    helds = (HELD_G_PER_G.value, HELD_G_PER_G.least, HELD_G_PER_G.most)
    usual = [solved({**given, "held_g_per_g": held}, brew.kind) for held in helds]
    is_open = "held_g_per_g" in names and "held_g_per_g" not in plain and len(plain) < len(names)
    assumed = is_open and all(map(_can_be, usual))
    cases = usual if assumed else [plain]
    found = {name: _spread([case.get(name) for case in cases]) for name in QUANTITIES}
    return Brewed(
        **found,
        kind=brew.kind,
        beverage_ml=_spread([_beverage_ml(case) for case in cases]),
        ratio=_spread([_ratio(case, brew.kind) for case in cases]),
        caffeine_mg=_caffeine(found["dose_g"], brew.bean, _poured_off(cases, brew.kind)),
        place=_place(found["tds_percent"], found["extraction_percent"], brew.kind),
        missing=tuple(QUANTITIES[name] for name in names if found[name] is None),
        assumed=(QUANTITIES["held_g_per_g"],) if assumed else (),
    )


def _can_be(case: Known) -> bool:
    """Whether what was worked out of a brew is a brew at all."""
    poured = all(case.get(name, 1.0) >= LEAST_G for name in ("dose_g", "water_g", "beverage_g"))
    return poured and case.get("tds_percent", 0.0) <= 100


def _numbers(brew: Brew) -> Known:
    values = {name: getattr(brew, name) for name in QUANTITIES}
    return {name: value for name, value in values.items() if value is not None}


def _given(brew: Brew) -> Known:
    """The numbers that its kind has a balance for."""
    numbers = _numbers(brew)
    return {name: numbers[name] for name in counted(brew.kind) if name in numbers}


def _spread(values: list[float | None]) -> Estimate | None:
    known = [value for value in values if value is not None]
    return Estimate(known[0], min(known), max(known)) if known else None


def _beverage_ml(case: Known) -> float | None:
    """Volume at 20 °C, its dissolved coffee taken as sucrose."""
    beverage_g = case.get("beverage_g")
    if beverage_g is None:
        return None
    return 1000 * beverage_g / density_g_per_l(case.get("tds_percent", 0.0))


def _ratio(case: Known, kind: BrewKind) -> float | None:
    dose_g = case.get("dose_g")
    poured_g = case.get("beverage_g" if kind == "espresso" else "water_g")
    return None if dose_g is None or poured_g is None else poured_g / dose_g


def _poured_off(cases: Sequence[Known], kind: BrewKind) -> Estimate:
    """The share of what was drawn out that is poured off: of an immersion the grounds keep the rest
    with the liquid they hold; what drips through is taken to wash them out."""
    shares = [
        case["beverage_g"] / case["water_g"]
        for case in cases
        if kind == "immersion" and {"beverage_g", "water_g"} <= case.keys()
    ]
    return _spread([*shares]) or Estimate(1.0, 1.0, 1.0)


def _caffeine(dose_g: Estimate | None, bean: Bean, poured_off: Estimate) -> Estimate | None:
    """Caffeine of the beverage: what the dose holds, as far as a brew takes it out and gives it."""
    if dose_g is None:
        return None
    held, out = CAFFEINE_MG_PER_G[bean], CAFFEINE_EXTRACTED
    return Estimate(
        dose_g.value * held.value * out.value * poured_off.value,
        dose_g.low * held.least * out.least * poured_off.low,
        dose_g.high * held.most * out.most * poured_off.high,
    )


def _place(tds: Estimate | None, extraction: Estimate | None, kind: BrewKind) -> str:
    if tds is None or extraction is None:
        return "not known whether usual: strength or extraction is missing"
    if kind == "drip" and tds.value > FILTER_TDS_LIMIT:
        return "far stronger than filter coffee: is it an espresso?"
    if kind == "immersion":
        # The chart is of drip, whose extraction leaves out what stays in the grounds.
        strength = _side(tds.value, TDS_BOX, "weak", "strong") or "usual strength"
        return f"{strength}; all water counted, immersion draws about {IMMERSION_EXTRACTION:g} %"
    tds_box, box = (
        (ESPRESSO_TDS, ESPRESSO_EXTRACTION) if kind == "espresso" else (TDS_BOX, EXTRACTION_BOX)
    )
    strength = _side(tds.value, tds_box, "weak", "strong")
    taken = _side(extraction.value, box, "under-extracted", "over-extracted")
    said = [word for word in (strength, taken) if word]
    usual = "espresso" if kind == "espresso" else "filter coffee"
    return " and ".join(said) or f"usual range for {usual}"


def _side(value: float, box: tuple[float, float], below: str, above: str) -> str:
    # The last decimal of a refractometer: 1.35 read is inside a box that ends at 1.35.
    if value < box[0] - 1e-9:
        return below
    return above if value > box[1] + 1e-9 else ""
