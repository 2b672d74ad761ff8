"""A serve of a drink from pouring to drinking, by the durations of the plan."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf

from server.domain.base.errors import CannotTell
from server.domain.glass.balance import Balance
from server.domain.glass.cold.blending import ice_together_g
from server.domain.glass.cooling import USUAL_COOLING_PER_MIN
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.liquid import volume_ml
from server.domain.glass.steps import ON_ICE
from server.domain.glass.vessel import Vessel, poured_temp_c, vessel_j_per_k
from server.domain.routine.drink import Drink
from server.domain.routine.over_ice import NO_VESSEL, OverIce, stood_over_ice
from server.domain.routine.routine import Segment
from server.domain.routine.slush_served import (
    SlushServe,
    ice_left_g,
    poured_slush,
    slush_serve,
    slush_temp_c,
    stood_slush,
)
from server.domain.routine.standing import Stand, stand_between, stood_temp_c
from server.domain.routine.waiting import cooling_of

THERMOMETER_C = 1.0
"""Error of a kitchen thermometer: a temperature that is named need not be nearer (ours)."""


THINNED = ("volume_ml", "abv_percent")
"""What is told of a serve over ice both as it is poured and when it is drunk."""


@dataclass(frozen=True)
class StandingServe:
    """A serve from pouring to drinking; None where it cannot be told, and `why` says why."""

    poured: Estimate | None
    stand: Stand | None
    drunk: Estimate | None
    why: tuple[str, ...]
    agrees: bool | None
    """Whether the temperature that the presenter names lies in the range; None if unknown."""
    cooling: Figure = USUAL_COOLING_PER_MIN
    """Newton's constant that was taken: the vessel's own, or the usual for so much in it."""
    over_ice: OverIce | None = None
    """How it is drunk where it stands over ice."""
    slush: SlushServe | None = None
    """A serve as poured where it is blended with ice, some of which is left."""
    ice_drunk_g: Estimate | None = None
    """What is left of the ice of a slush when it is drunk."""

    def when_drunk(self, name: str) -> Estimate | None:
        """A figure of a serve that stood over ice, by its name among the totals, when it is drunk.

        None where that is not told, or is told by another name.
        """
        if self.over_ice is None or name not in THINNED:
            return None
        found: Estimate = getattr(self.over_ice, name)
        return found

    def temp_after(self, poured: Estimate, stand: Stand, room: Figure) -> Estimate:
        """Temperature of a serve so long after it is poured at a temperature."""
        if self.slush is None:
            return stood_temp_c(poured, stand, room, self.cooling)
        return slush_temp_c(stood_slush(self.slush, stand, room, self.cooling), poured)


def standing_of(drink: Drink, worked_out: Balance, segments: Sequence[Segment]) -> StandingServe:
    """How warm a serve is when it is poured and when it is drunk, by the plan's durations."""
    service = drink.service
    vessel, room = service.vessel or Vessel(), service.room
    serve = worked_out.serve_liquid
    cooling = cooling_of(service, volume_ml(serve))
    own = _over_its_ice(worked_out) if service.over_ice else worked_out.serve.temp_c
    poured = poured_temp_c(serve, own, vessel, room)
    blended = slush_serve(serve, worked_out.serve)
    slush = poured_slush(blended, vessel, room) if blended and poured else None
    if poured and slush and vessel.mass_g is not None:
        poured = slush_temp_c(slush, poured)
    why = [] if poured else ["No temperature: give each ingredient one."]
    stand, drunk, over_ice, ice_drunk_g = None, None, None, None
    try:
        stand = stand_between(
            segments, service.poured_segment_id or "", service.drunk_segment_id or ""
        )
        if poured and service.over_ice:
            glass, ice_g = vessel_j_per_k(vessel) or NO_VESSEL, ice_beneath_g(worked_out)
            there_g = ice_g.most if ice_g else inf
            over_ice = stood_over_ice(serve, poured, stand, room, cooling, glass, there_g)
    except CannotTell as error:
        why.append(error.message)
    if poured and stand and (over_ice or not service.over_ice):
        drunk = over_ice.temp_c if over_ice else stood_temp_c(poured, stand, room, cooling)
        if slush and not over_ice:
            stood = stood_slush(slush, stand, room, cooling)
            drunk, ice_drunk_g = slush_temp_c(stood, poured), ice_left_g(stood, poured)
        if vessel.cooling_per_min is None:
            why.append("Cooling of the vessel is a wide guess: two thermometer readings narrow it.")
    stated_c = service.stated_c
    agrees = None if drunk is None or stated_c is None else _agrees(stated_c, drunk)
    return StandingServe(
        poured, stand, drunk, tuple(why), agrees, cooling, over_ice, slush, ice_drunk_g
    )


def ice_beneath_g(worked_out: Balance) -> Figure | None:
    """Ice that one serve stands over: what is listed and no step uses; None where not known."""
    if any(note.kind in ON_ICE for note in worked_out.steps):
        return None
    ice = [each for each in worked_out.parcels if each.substance.kind == "ice"]
    in_all, serves = ice_together_g(ice), worked_out.serves
    if in_all is None:
        return None
    return Figure(in_all.value / serves, in_all.least / serves, in_all.most / serves)


def poured_and_drunk(poured: str, drunk: str = "") -> str:
    """How a figure that thins over ice is told, on every page: how it is poured, and then drunk.

    >>> poured_and_drunk("90 ml", "112 ml"), poured_and_drunk("90 ml")
    ('90 ml as poured, 112 ml when drunk', '90 ml as poured')
    """
    return f"{poured} as poured" + (f", {drunk} when drunk" if drunk else "")


def _over_its_ice(worked_out: Balance) -> Estimate | None:
    """A serve as poured where the ice that is listed is what it stands over: it is counted then."""
    ice = {parcel.name for parcel in worked_out.parcels if parcel.substance.kind == "ice"}
    own = worked_out.serve.temp_c
    if any(note.kind == "blend" for note in worked_out.steps):
        return own
    if own is None or not ice & set(own.lacks):
        return own
    lacks = tuple(name for name in own.lacks if name not in ice)
    return replace(own, lacks=lacks, is_most=own.is_most and bool(lacks))


def _agrees(stated_c: float, computed: Estimate) -> bool:
    return computed.low - THERMOMETER_C <= stated_c <= computed.high + THERMOMETER_C
