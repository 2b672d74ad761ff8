"""Between what a figure of the glass must lie where not all of it is known.

A recipe that lacks one strength still tells the least there is; ice that nobody says the melting of
still tells the most. Such a bound excludes what is said outside it, and never proves a figure.
"""

from collections.abc import Iterator
from math import inf

from server.domain.claims.facts import KnownNumber
from server.domain.glass.balance import Balance
from server.domain.glass.figures import Estimate
from server.domain.glass.parcel import MELT
from server.domain.glass.steps import Agitate, Blend, Bring, Ice
from server.domain.routine.drink import Drink
from server.domain.routine.served import StandingServe

LARGEST_PIECE_ML = {
    "piece": 60.0, "slice": 30.0, "wedge": 30.0, "cube": 30.0, "sprig": 10.0, "stick": 10.0,
    "leaf": 5.0, "strip": 5.0, "twist": 5.0, "pod": 5.0, "bean": 5.0, "pinch": 2.0,
}  # fmt: skip
"""Unit -> what one that has no size of its own adds at the most, ml: a piece may be an egg. Ours,
and generous; of what is counted in other units nothing is known."""

COLDEST_PART_C, WARMEST_PART_C = -25.0, 100.0
"""What an ingredient of unknown warmth may have: from a deep freezer to boiling. Ours."""

MOST_J_PER_GK = 4.42
"""No mixture of water and ethanol holds more heat (the highest of the fit in `glass.heat`)."""

DENSEST_G_PER_ML = 1.5
"""What a piece weighs at the most by its size; honey has 1.4."""

MIXING_K = 6.0
"""Spirit and water warm each other by less than this. Ours, rounded up."""

LEAST_TOLD = 0.05
"""A least strength, or a least mass in g, below this tells nothing."""


def bounds_of(drink: Drink, worked_out: Balance, standing: StandingServe) -> Iterator[KnownNumber]:
    """The bounds of what is not wholly known: strength, volume and warmth of the glass."""
    about: dict[str, set[str]] = {}
    for unknown in worked_out.unknowns:
        about.setdefault(unknown.about, set()).add(unknown.ingredient)
    yield from _of_strength(drink, worked_out, about)
    yield from _of_volume(worked_out, about)
    if not drink.service.over_ice:
        yield from _of_warmth(drink, worked_out, standing, about)


def _of_strength(
    drink: Drink, worked_out: Balance, about: dict[str, set[str]]
) -> Iterator[KnownNumber]:
    strength, volume = worked_out.serve.abv_percent, worked_out.batch.volume_ml
    if strength is None or strength.is_whole:
        return
    if strength.is_most:
        yield KnownNumber("strength", "in the glass", 0.0, strength.high, is_bound=True)
        return
    added_ml = _unmeasured_ml(drink, about)
    if added_ml is None or volume is None or volume.low <= 0:
        return
    least = strength.low * volume.low / (volume.low + added_ml)
    # Over ice it is thinner when it is drunk, and nobody knows by how much.
    if least >= LEAST_TOLD and not drink.service.over_ice:
        yield KnownNumber("strength", "in the glass", least, inf, is_bound=True)


def _unmeasured_ml(drink: Drink, about: dict[str, set[str]]) -> float | None:
    """What the parts without a size add at the most, for all serves; None if that is untold."""
    names = about.get("amount", set())
    amounts = [part.amount for part in drink.ingredients if part.name in names]
    if any(amount.unit not in LARGEST_PIECE_ML for amount in amounts):
        return None
    return sum(amount.value * LARGEST_PIECE_ML[amount.unit] for amount in amounts)


def _of_volume(worked_out: Balance, about: dict[str, set[str]]) -> Iterator[KnownNumber]:
    """What lacks an amount, or the water of its ice, is at least as much as the rest."""
    for label, volume in (
        ("in each glass", worked_out.serve.volume_ml),
        ("in all glasses together", worked_out.batch.volume_ml),
    ):
        if volume is not None and not volume.is_whole and not about.get("volume"):
            yield KnownNumber("amount", label, volume.low, inf, is_bound=True)


def _of_warmth(
    drink: Drink, worked_out: Balance, standing: StandingServe, about: dict[str, set[str]]
) -> Iterator[KnownNumber]:
    mixed = worked_out.serve.temp_c
    if mixed is None or mixed.is_whole:
        return
    if mixed.is_most:
        drunk = standing.drunk
        if drunk is not None and set(drunk.lacks) <= about.get(MELT, set()):
            yield _warmth("when the judges drink", -inf, drunk.high)
        return
    is_plain = not any(isinstance(step, Agitate | Blend | Ice | Bring) for step in drink.steps)
    added_ml = _unmeasured_ml(drink, about)
    if is_plain and added_ml is not None and not about.get(MELT):
        low, high = _between(worked_out, mixed, added_ml / drink.serves)
        service = drink.service
        beside = [service.room.least, service.room.most]
        vessel = service.vessel
        if vessel is not None and vessel.temp_c is not None:
            beside += [vessel.temp_c]
        yield _warmth("in the glass", min(low, *beside), max(high, *beside))


def _warmth(label: str, low: float, high: float) -> KnownNumber:
    return KnownNumber("temperature", label, low, high, is_bound=True)


def _between(worked_out: Balance, mixed: Estimate, added_ml: float) -> tuple[float, float]:
    """The coldest and the warmest it may be as mixed, whatever its untold parts have, °C."""
    serve = worked_out.serve_liquid
    told = serve.heat_j_per_k
    untold = (serve.untold_g + added_ml * DENSEST_G_PER_ML) * MOST_J_PER_GK
    coldest = (told * mixed.low + untold * COLDEST_PART_C) / (told + untold)
    warmest = (told * mixed.high + untold * WARMEST_PART_C) / (told + untold)
    return coldest - MIXING_K, warmest + MIXING_K


def masses_of(worked_out: Balance) -> Iterator[KnownNumber]:
    """Grams of alcohol in a glass and in all: the least of it where a strength is not known."""
    for label, grams in (
        ("in each glass", worked_out.serve.ethanol_g),
        ("in all glasses together", worked_out.batch.ethanol_g),
    ):
        if grams is None or (not grams.is_whole and grams.low < LEAST_TOLD):
            continue
        high, is_bound = (grams.high, False) if grams.is_whole else (inf, True)
        what = f"of alcohol {label}"
        yield KnownNumber(
            "amount", what, grams.low, high, about=OF_ALCOHOL, is_bound=is_bound, unit="g"
        )


OF_ALCOHOL = ("alcohol", "ethanol", "alkohol", "alcool", "álcool", "alcol")
"""What grams are said to be of, in the languages the check knows."""
