"""What a glass is, worked out from recipe and plan, in the form that claims are held against.

A number that hangs on something unknown is left out: a claim about it is then unchecked, not
false. What a step of making does to texture is common practice, no source.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from server.domain.base.durations import format_clock
from server.domain.claims.facts import (
    OF_VESSEL,
    STEEPING,
    STEPPED,
    GlassFacts,
    KnownNumber,
    StepEffect,
    Tasting,
)
from server.domain.claims.handling.ice_facts import ice_waters
from server.domain.claims.spoken.units import QuantityKind
from server.domain.claims.tasting.known_bounds import bounds_of, masses_of
from server.domain.claims.tasting.makeup import makeup_of
from server.domain.glass.alcohol import Definition
from server.domain.glass.balance import Balance, balance
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.recipe import Recipe, RecipeLine
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Ice
from server.domain.routine.drink import Drink
from server.domain.routine.plan import place_segments
from server.domain.routine.routine import Process, Routine, Segment
from server.domain.routine.served import StandingServe, poured_and_drunk, standing_of
from server.domain.routine.standing import Stand, stood_temp_c
from server.domain.routine.waiting import Waited, as_used

LATER_S = 600.0
"""How long after it is drunk a drink is still looked at: "as it warms to …" (ours)."""

WHEN_MIXED = (
    "thermometer", "read", "check", "mixed", "jug", "shaker", "stirred", "shaken", "measure",
)  # fmt: skip
"""Beside one of these a temperature is that of the drink as mixed."""

WHEN_POURED = ("pour", "poured", "pouring")
LATER = ("cools", "cooling", "cool", "warms", "warming", "stand", "stands", "later", "rests")
"""Beside one of these a temperature is one that the drink comes to as it stands."""

KEPT_IN = ("fridge", "refrigerator", "freezer", "cooler", "stove", "heat")
"""Beside one of these a temperature is that of what stood in it, before it came out."""

BEFORE_WATER = ("melting", "melt", "melts", "dilution", "dilute", "dilutes", "undiluted", "before")
"""Beside one of these a strength may be that before the ice melts."""

BROUGHT: dict[str, tuple[tuple[str, ...], str]] = {
    "shake": (("frothy", "foamy", "airy", "cold"), "shaken with ice"),
    "blend": (("cold", "icy", "frosty"), "blended with ice"),
    "stir": (("smooth", "silky", "cold"), "stirred with ice"),
    "ice": (("cold",), "chilled on ice"),
    "chill": (("cold",), "chilled"),
    "heat": (("warm",), "heated"),
    "filter": (("smooth",), "filtered"),
}
"""Kind of step -> the words it brings, and what it is called."""


# A script is checked again with every pause in typing, and the drinks stay the same.
@lru_cache(maxsize=64)
def facts_of_glass(
    drink: Drink,
    segments: tuple[Segment, ...],
    definition: Definition,
    processes: tuple[Process, ...] = (),
) -> GlassFacts:
    """Temperatures, strengths, amounts and textures of one drink, as far as they are known."""
    used = as_used(drink, segments, processes)
    worked_out = balance(used.drink, definition, drink.service.over_ice)
    standing = standing_of(drink, worked_out, segments)
    numbers = (
        *_temperatures(drink, worked_out, standing),
        *_waiting(used.waited),
        *_steeped(drink),
        *_stepped(drink),
        *_strengths(drink, worked_out, standing),
        *ice_waters(drink, worked_out),
        *_volumes(drink, worked_out, standing),
        *masses_of(worked_out),
        *bounds_of(drink, worked_out, standing),
    )
    makeup = makeup_of(drink, worked_out, standing.over_ice)
    return GlassFacts(drink.id, numbers, tuple(_effects(drink)), makeup)


def tastings(routine: Routine) -> tuple[Tasting, ...]:
    """When the judges can taste each drink that says in which segment it is drunk.

    They can once it is poured, from the start of the segment in which they drink; their tasting
    ends where a later segment is about another drink, or with the slot.
    """
    placed = {each.segment.id: each for each in place_segments(routine.segments)}
    found = []
    for drink in routine.drinks:
        drunk = placed.get(drink.service.drunk_segment_id or "")
        if drunk is not None:
            found.append(Tasting(drink.id, drunk.start_s, _until_s(routine.segments, drink)))
    return tuple(found)


def _until_s(segments: Sequence[Segment], drink: Drink) -> float | None:
    """When attention has gone on to another drink; None where it never does."""
    placed = place_segments(segments)
    names = [each.segment.id for each in placed]
    after = placed[names.index(drink.service.drunk_segment_id or "") :]
    others = (each for each in after if each.segment.drink_id not in (None, drink.id))
    first = next(others, None)
    return None if first is None else first.start_s


def _temperatures(
    drink: Drink, worked_out: Balance, standing: StandingServe
) -> Iterator[KnownNumber]:
    drunk, poured, mixed = standing.drunk, standing.poured, worked_out.batch.temp_c
    if drunk is not None and drunk.is_whole:
        yield _known("temperature", "when the judges drink", drunk)
        later = _later(drunk, standing, drink.service.room)
        yield _known("temperature", "in the ten minutes after it is served", later, LATER)
    if poured is not None and poured.is_whole:
        yield _known("temperature", "when it is poured", poured, WHEN_POURED)
    if mixed is not None and mixed.is_whole:
        yield _known("temperature", "as mixed, by computation", mixed, WHEN_MIXED)
    yield from _stated(drink, standing)
    vessel = drink.service.vessel
    if vessel is not None and vessel.temp_c is not None:
        label = f"for the {vessel.name or 'glass'} itself"
        yield KnownNumber("temperature", label, vessel.temp_c, vessel.temp_c, about=OF_VESSEL)
    for part in drink.ingredients:
        own = None if part.substance is None else part.substance.temp_c
        if own is not None:
            label = f"for {part.name} in the recipe"
            about = KEPT_IN if part.ahead.out_min else ()
            yield KnownNumber("temperature", label, own.least, own.most, part.id, about)


def _stated(drink: Drink, standing: StandingServe) -> Iterator[KnownNumber]:
    """The temperature that the presenter names, unless what is computed is against it."""
    stated_c = drink.service.stated_c
    if stated_c is not None and standing.agrees is not False:
        label = "named on the drink's page"
        yield KnownNumber("temperature", label, stated_c, stated_c, is_stated=True)


def _later(drunk: Estimate, standing: StandingServe, room: Figure) -> Estimate:
    """The temperatures that a serve comes to after it is drunk."""
    if standing.over_ice:
        return drunk
    stand = standing.stand
    if standing.slush is not None and standing.poured is not None and stand is not None:
        until = Stand(stand.low_s, stand.likely_s + LATER_S, stand.high_s + LATER_S)
        return standing.temp_after(standing.poured, until, room)
    return stood_temp_c(drunk, Stand(0.0, LATER_S, LATER_S), room, standing.cooling)


def _waiting(waited: Sequence[Waited]) -> Iterator[KnownNumber]:
    """How warm each ingredient is that waited, when it goes in."""
    for each in waited:
        label = f"for {each.name} as it goes in, after {format_clock(each.stand.likely_s)}"
        low, high = each.after.least, each.after.most
        yield KnownNumber("temperature", label, low, high, each.ingredient_id)


def _steeped(drink: Drink) -> Iterator[KnownNumber]:
    """How warm each infusion stood."""
    for part in drink.ingredients:
        warmth_c = part.ahead.steeped_c
        if warmth_c is not None:
            label = f"for steeping {part.name}"
            yield KnownNumber("temperature", label, warmth_c, warmth_c, part.id, STEEPING)


def _stepped(drink: Drink) -> Iterator[KnownNumber]:
    """What each step of making brings the drink to."""
    for step in drink.steps:
        if isinstance(step, Bring | Ice):
            how = {"heat": "heats it", "chill": "chills it", "ice": "chills it on ice"}[step.kind]
            label = f"in the step that {how}"
            yield KnownNumber("temperature", label, step.to_temp_c, step.to_temp_c, about=STEPPED)


def _strengths(drink: Drink, worked_out: Balance, standing: StandingServe) -> Iterator[KnownNumber]:
    strength, drunk = worked_out.serve.abv_percent, standing.when_drunk("abv_percent")
    if strength is not None and strength.is_whole and drunk is not None and drunk.is_whole:
        yield _known("strength", "when the judges drink, over ice", drunk)
    if strength is not None and strength.is_whole:
        yield _known("strength", _where(drink, "in the glass"), strength)
        between, ice_g = worked_out.serve.liquid_abv_percent, worked_out.serve.ice_g
        if between is not None and between.is_whole and ice_g is not None and ice_g.high > 0:
            yield _known("strength", "of the liquid between its ice", between)
        if any(isinstance(step, Ice | Agitate | Blend) for step in drink.steps):
            before = balance(_without_steps(drink)).batch.abv_percent
            if before is not None:
                yield _known("strength", "before the ice melts", before, BEFORE_WATER)
    for part in drink.ingredients:
        abv = None if part.substance is None else part.substance.abv
        if abv is not None:
            yield KnownNumber("strength", part.name, abv.least, abv.most, part.id)


def _without_steps(drink: Drink) -> Recipe:
    lines = tuple(
        RecipeLine(part.id, part.name, part.amount, part.substance, part.brew, part.syrup)
        for part in drink.ingredients
    )
    return Recipe(lines, drink.serves, part_ml=drink.part_ml)


def _where(drink: Drink, of: str) -> str:
    """Where a figure is found; over ice it is told as the pages do."""
    return poured_and_drunk(of) if drink.service.over_ice else of


def _volumes(drink: Drink, worked_out: Balance, standing: StandingServe) -> Iterator[KnownNumber]:
    for label, estimate in (
        (_where(drink, "in each glass"), worked_out.serve.volume_ml),
        (_where(drink, "in all glasses together"), worked_out.batch.volume_ml),
        ("when the judges drink, over ice", standing.when_drunk("volume_ml")),
    ):
        if estimate is not None and estimate.is_whole:
            yield _known("amount", label, estimate)


def _known(
    kind: QuantityKind, label: str, estimate: Estimate, about: tuple[str, ...] = ()
) -> KnownNumber:
    return KnownNumber(kind, label, estimate.low, estimate.high, about=about)


def _effects(drink: Drink) -> Iterator[StepEffect]:
    for step in drink.steps:
        if isinstance(step, Ice | Agitate | Blend | Bring | Filter):
            words, name = BROUGHT[step.kind]
            for word in words:
                yield StepEffect(word, name)
