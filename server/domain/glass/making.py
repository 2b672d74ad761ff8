"""What each step does to the liquid: what it adds, what it leaves behind, how sure that is.

Mass is kept by every step: before + added = after + behind.

>>> from server.domain.glass.liquid import mass_g, plain_water
>>> from server.domain.glass.steps import Ice
>>> chilled = step_change(Ice("s", to_temp_c=5.0, ice_c=0.0), plain_water(200.0, temp_c=20.0))
>>> round(mass_g(chilled.added), 1)
35.4
"""

from typing import Literal, NamedTuple

from server.domain.glass.alcohol import ETHANOL_G_PER_L
from server.domain.glass.cold.blending import BLENDER_J_PER_G, blended
from server.domain.glass.cold.on_ice import ICE_SPREAD, iced, shaken
from server.domain.glass.cold.standing_ice import stood
from server.domain.glass.cooling import ROOMS_C, USUAL_ROOM_C, usual_cooling_per_min
from server.domain.glass.figures import Figure
from server.domain.glass.liquid import (
    EMPTY,
    Liquid,
    changed,
    ice,
    mass_g,
    plain_water,
    scaled,
    steam_off,
    temp_c,
    volume_ml,
    warmed,
)
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Ice, Rest, ice_c_of
from server.domain.glass.steps import AnyStep as AnyStep
from server.domain.glass.sugar import WATER_G_PER_L

CASEIN_SHARE = 0.8
"""Casein in the protein of cow's milk (common textbook value)."""

ETHANOL_BOILS_C = 78.3

Pace = Literal["least", "value", "most"]

WATER_FOR_ETHANOL = WATER_G_PER_L / ETHANOL_G_PER_L
"""Grams of water in the volume of a gram of ethanol."""


class StepOutcome(NamedTuple):
    """One way a step may turn out: the number it hangs on, and where the spirit goes."""

    number: float = 0.0
    spirit_passes: bool = False
    """Whether all the ethanol comes through with the filtrate, none kept by what stays behind."""
    room_c: float = USUAL_ROOM_C
    is_even: bool = False
    """Whether steam is only as strong as the drink it leaves, not as the vapour over it."""
    pace: Pace = "value"
    """How fast it takes on the room's warmth: as usual, at the least or at the most."""
    heat_j_per_g: float = BLENDER_J_PER_G.value
    """What blades and jar bring into each gram that is blended."""
    is_simple: bool = False
    """Whether its sugar is glucose and fructose, which freeze lower than sucrose."""
    ice_c: float | None = None
    """How cold the ice is; None for as the step has it."""


class StepChange(NamedTuple):
    """What a step did: before + added = after + behind."""

    after: Liquid
    added: Liquid = EMPTY
    behind: Liquid = EMPTY


class StepDoubt(NamedTuple):
    """How sure a step is, in words, with the number behind it."""

    words: str
    cases: tuple[tuple[StepOutcome, StepOutcome], ...] = ()


def likely_case(step: AnyStep) -> StepOutcome:
    """How a step most likely turns out."""
    match step:
        case Ice():
            return StepOutcome(ICE_SPREAD.value)
        case Agitate():
            return StepOutcome(step.dilution.value)
        case Blend():
            return StepOutcome(step.ice_g.value if step.ice_g else 0.0)
        case Bring():
            return StepOutcome(step.loss_percent.value if step.loss_percent else 0.0)
        case Rest():
            return StepOutcome(step.minutes.value)
        case Filter():
            return StepOutcome((step.recovered_ml or step.loss_percent or Figure(0.0)).value)
        case _:
            return StepOutcome()


def doubt_of(step: AnyStep) -> StepDoubt:
    """How sure a step is, and the pairs of cases between which the truth lies."""
    match step:
        case Ice():
            return StepDoubt("By energy balance, give or take a quarter.", (_ends(ICE_SPREAD),))
        case Blend():
            return _blend_doubt(step)
        case Agitate():
            measured = "As you measured it." if step.dilution_percent else "Usual range, no source."
            return StepDoubt(measured, (*_ends_if_range(step.dilution), *_ice_doubt(step)))
        case Bring():
            return _bring_doubt(step)
        case Filter():
            return _filter_doubt(step)
        case Rest():
            return _rest_doubt(step)
        case _:
            return StepDoubt("Two temperatures in one glass; the drink as a whole is between them.")


def _blend_doubt(step: Blend) -> StepDoubt:
    if step.ice_g is None:
        return StepDoubt("How much ice goes in is not known, so none of it is counted.")
    likely = likely_case(step)
    heats = (BLENDER_J_PER_G.least, BLENDER_J_PER_G.most)
    colder, warmer = (likely._replace(heat_j_per_g=each) for each in heats)
    ends = (
        *_ends_if_range(step.ice_g),
        *_ice_doubt(step),
        (colder, warmer),
        (likely, likely._replace(is_simple=True)),
    )
    return StepDoubt("By energy balance; the heat of blades and jar is typical, no source.", ends)


def _ice_doubt(step: Agitate | Blend) -> tuple[tuple[StepOutcome, StepOutcome], ...]:
    """How cold its ice may be; of what is chilled to a temperature the melted share tells it."""
    ice_c, likely = ice_c_of(step), likely_case(step)
    ends = (likely._replace(ice_c=ice_c.least), likely._replace(ice_c=ice_c.most))
    return (ends,) if ice_c.is_range else ()


def _bring_doubt(step: Bring) -> StepDoubt:
    if step.loss_percent is not None:
        likely = likely_case(step)
        ends = (*_ends_if_range(step.loss_percent), (likely, likely._replace(is_even=True)))
        return StepDoubt("As you weighed it; of spirit more leaves than of water.", ends)
    if step.kind == "heat":
        return StepDoubt("What boils off is not known and not counted.")
    return StepDoubt("Nothing is added or lost.")


def _rest_doubt(step: Rest) -> StepDoubt:
    minutes = step.minutes.value
    paces = (StepOutcome(minutes, pace="least"), StepOutcome(minutes, pace="most"))
    rooms = tuple(StepOutcome(minutes, room_c=c) for c in (ROOMS_C.least, ROOMS_C.most))
    words = "By Newton's law in a room of 18 to 24 °C, as fast as so much of it usually does."
    return StepDoubt(words, (*_ends_if_range(step.minutes), paces, (rooms[0], rooms[1])))


def _filter_doubt(step: Filter) -> StepDoubt:
    figure = step.recovered_ml or step.loss_percent or Figure(0.0)
    if not step.curd:
        return StepDoubt("What passes is as strong as what stays.", _ends_if_range(figure))
    spirit = (StepOutcome(figure.value), StepOutcome(figure.value, spirit_passes=True))
    words = "Casein and fat stay behind; how much spirit the curd keeps is not known."
    return StepDoubt(words, (*_ends_if_range(figure), spirit))


def _ends(figure: Figure) -> tuple[StepOutcome, StepOutcome]:
    return StepOutcome(figure.least), StepOutcome(figure.most)


def _ends_if_range(figure: Figure) -> tuple[tuple[StepOutcome, StepOutcome], ...]:
    return (_ends(figure),) if figure.is_range else ()


def step_change(step: AnyStep, before: Liquid, case: StepOutcome | None = None) -> StepChange:
    """What a step does to a liquid, in the likely or in the given case."""
    turned_out = likely_case(step) if case is None else case
    match step:
        case Ice():
            return StepChange(*iced(step, before, turned_out.number))
        case Blend():
            return _blended(step, before, turned_out)
        case Agitate():
            return _agitated(step, before, turned_out)
        case Bring():
            return _brought(step, before, turned_out)
        case Filter():
            return _filtered(step, before, turned_out)
        case Rest():
            return _rested(before, turned_out)
        case _:
            return StepChange(before)


def _blended(step: Blend, before: Liquid, case: StepOutcome) -> StepChange:
    if step.ice_g is None:
        return StepChange(before)
    added = ice(case.number, _ice_c(step, case))
    return StepChange(blended(before, added, case.heat_j_per_g, case.is_simple), added=added)


def _agitated(step: Agitate, before: Liquid, case: StepOutcome) -> StepChange:
    melted = plain_water(volume_ml(before) * case.number / 100)
    return StepChange(shaken(before, melted, _ice_c(step, case)), added=melted)


def _ice_c(step: Agitate | Blend, case: StepOutcome) -> float:
    return step.ice_c if case.ice_c is None else case.ice_c


def _brought(step: Bring, before: Liquid, case: StepOutcome) -> StepChange:
    steam = steam_off(before, mass_g(before) * case.number / 100, case.is_even)
    return StepChange(warmed(changed(before, steam, EMPTY), step.to_temp_c), behind=steam)


def _rested(before: Liquid, case: StepOutcome) -> StepChange:
    usual = usual_cooling_per_min(volume_ml(before))
    k = {"least": usual.least, "value": usual.value, "most": usual.most}[case.pace]
    return StepChange(stood(before, case.room_c, k, case.number))


def _filtered(step: Filter, before: Liquid, case: StepOutcome) -> StepChange:
    clear = _without_curd(before) if step.curd else before
    clear_ml = volume_ml(clear)
    passes_ml = case.number
    if step.loss_percent is not None:
        passes_ml = volume_ml(before) * (1 - case.number / 100)
    share = min(1.0, passes_ml / clear_ml) if clear_ml > 0 else 0.0
    after = scaled(clear, share)._replace(cost=before.cost)
    if case.spirit_passes:
        after = _with_all_spirit(after, before.ethanol_g)
    after_c = temp_c(before)
    # Of a slush ice and liquid come through alike, with their heat.
    if after_c is not None and before.iced_g <= 0:
        after = warmed(after, after_c)
    return StepChange(after, behind=changed(before, after, EMPTY)._replace(cost=0.0))


def _without_curd(before: Liquid) -> Liquid:
    """What is left without its casein and fat; they take their own volume along."""
    clear = before._replace(fat_g=0.0, protein_g=before.protein_g * (1 - CASEIN_SHARE))
    curd_ml = volume_ml(before) - volume_ml(clear)
    # Else their volume would be told as that by which spirit and water contract.
    return clear._replace(apart_ml=before.apart_ml - curd_ml)


def _with_all_spirit(filtrate: Liquid, ethanol_g: float) -> Liquid:
    """The filtrate with all the ethanol in it, water kept back in its place, volume for volume."""
    swapped_g = (ethanol_g - filtrate.ethanol_g) * WATER_FOR_ETHANOL
    water_g = max(0.0, filtrate.water_g - swapped_g)
    return filtrate._replace(ethanol_g=ethanol_g, water_g=water_g)


def filter_overdraws(step: AnyStep, before: Liquid) -> bool:
    """Whether a filter is said to yield more than went into it."""
    if not isinstance(step, Filter) or step.recovered_ml is None:
        return False
    return step.recovered_ml.value > volume_ml(before) * 1.001


def boils_spirit(step: AnyStep, before: Liquid) -> bool:
    """Whether a step heats a drink so far that its ethanol leaves too, which is not counted."""
    if not isinstance(step, Bring) or step.loss_percent is not None:
        return False
    return step.to_temp_c >= ETHANOL_BOILS_C and before.ethanol_g > 0
