"""The balances that tie dose, water, liquid held, beverage, strength and extraction of a brew.

Drip: beverage = water - held x dose, and extraction = beverage x strength / dose: what stays in the
grounds is taken as spent. Immersion: the same for the beverage, but all the water drew on the
coffee: extraction = water x s / dose with s = strength / (1 - strength), as strength counts the
coffee too. Espresso: the puck's water tells nothing, so that only the second of the drip's stands.

>>> round(solved({"dose_g": 30, "water_g": 500, "tds_percent": 1.4}, "immersion")
...       ["extraction_percent"], 1)
23.7
"""

from typing import Literal, get_args

from server.domain.base.errors import Fault

BrewKind = Literal["drip", "immersion", "espresso"]
BREW_KINDS: tuple[BrewKind, ...] = get_args(BrewKind)

QUANTITIES = {
    "dose_g": "dose",
    "water_g": "water",
    "held_g_per_g": "liquid held by the grounds",
    "beverage_g": "beverage",
    "tds_percent": "strength (TDS)",
    "extraction_percent": "extraction",
}
"""Field of a brew -> its name."""

OF_A_PUCK = ("dose_g", "beverage_g", "tds_percent", "extraction_percent")
"""The quantities of an espresso."""

Known = dict[str, float]


def counted(kind: BrewKind) -> tuple[str, ...]:
    """The quantities that a kind of brew has a balance for."""
    return OF_A_PUCK if kind == "espresso" else tuple(QUANTITIES)


def solved(given: Known, kind: BrewKind) -> Known:
    """What follows from `given` by the balances, used as often as they say something new."""
    known = dict(given)
    while True:
        news = _news(known, kind)
        news = {name: value for name, value in news.items() if name not in known}
        if not news:
            return known
        known.update(news)


def _news(known: Known, kind: BrewKind) -> Known:
    if kind == "espresso":
        return _from_strength(known)
    if kind == "immersion":
        return {**_from_water(known), **_from_whole_water(known)}
    return {**_from_water(known), **_from_strength(known), **_from_both(known)}


def contradiction(known: Known, kind: BrewKind) -> list[Fault]:
    """What does not fit together where all quantities of a brew are known."""
    if len(known) < len(counted(kind)):
        return []
    for beverage_g in _beverages(known, kind):
        if abs(beverage_g - known["beverage_g"]) > 0.02 * known["beverage_g"]:
            words = (
                f"These do not fit together: they give {beverage_g:.0f} g of beverage and "
                f"{known['beverage_g']:.0f} g. Leave one out and it is worked out."
            )
            return [Fault("beverage_g", words)]
    if kind == "immersion":
        found = 100 * known["water_g"] * _per_water(known["tds_percent"]) / known["dose_g"]
        if abs(found - known["extraction_percent"]) > 0.02 * known["extraction_percent"]:
            words = f"By water and strength the extraction is {found:.1f} %: leave one out."
            return [Fault("extraction_percent", words)]
    return []


def _beverages(known: Known, kind: BrewKind) -> list[float]:
    by_strength_g = known["extraction_percent"] * known["dose_g"] / known["tds_percent"]
    if kind == "espresso":
        return [by_strength_g]
    by_water_g = known["water_g"] - known["held_g_per_g"] * known["dose_g"]
    return [by_water_g] if kind == "immersion" else [by_water_g, by_strength_g]


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


def _from_whole_water(known: Known) -> Known:
    """What extraction x dose = water x s gives, where one of the four is missing."""
    names = ("extraction_percent", "dose_g", "water_g", "tds_percent")
    extraction, dose, water, tds = (known.get(name) for name in names)
    if dose and water is not None and tds is not None:
        return {"extraction_percent": 100 * water * _per_water(tds) / dose}
    if extraction and water is not None and tds is not None:
        return {"dose_g": 100 * water * _per_water(tds) / extraction}
    if extraction is not None and dose is not None and tds:
        return {"water_g": extraction * dose / (100 * _per_water(tds))}
    if extraction is not None and dose is not None and water:
        drawn = extraction * dose / (100 * water)
        return {"tds_percent": 100 * drawn / (1 + drawn)}
    return {}


def _per_water(tds_percent: float) -> float:
    """Dissolved coffee for a gram of water."""
    return tds_percent / (100 - tds_percent) if tds_percent < 100 else float("inf")
