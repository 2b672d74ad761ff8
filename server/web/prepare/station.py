"""The station: the bar from above, things set out on it, and what stands better elsewhere."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.prepare.kit import KitThing, kit_of
from server.domain.prepare.outside import outside_of
from server.domain.prepare.station.places import held_on, set_down, set_in_the_middle
from server.domain.routine.edits import part_of, put, without
from server.domain.routine.routine import Routine
from server.domain.routine.station import FARTHEST_CM, MOST_SPOTS, Station
from server.domain.runs.summary import RunLine
from server.store.routines import StoredRoutine, load_routine
from server.store.runs import list_runs
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import Edit, Editor, id_or_new, routine_context, start_of_form
from server.web.frame.forms import Form
from server.web.frame.render import page
from server.web.prepare.kit_view import short_name, tints_of
from server.web.prepare.outside import OUTSIDE, outside_shown, with_chores
from server.web.prepare.pages import kit_of_stored
from server.web.prepare.photograph_shown import bar_photograph
from server.web.prepare.station_forms import (
    BAR,
    HANDS,
    HEATS,
    HOLDS,
    PHOTOGRAPH,
    SIDES,
    SPOT,
    SURFACE,
    new_spot,
    station_values,
    surface_names,
    with_bar,
    with_spot,
    with_surface,
)
from server.web.prepare.station_view import (
    AT_ONCE,
    Better,
    StationPage,
    better_of,
    drawn,
    findings_of,
    headline_of,
    lines_of,
    mark_of_station,
    measured,
    unplaced_of,
)

if TYPE_CHECKING:
    from server.domain.prepare.station.better import PlaceProposal

router = APIRouter(prefix="/routines/{routine_id}")

PLACE = "station"

LOOKS: dict[str, int | None] = {"few": 3, "all": None}
"""Which proposal is looked at -> how many exchanges it takes at the most."""


@router.get("/station")
def station_page(
    request: Request, session: ReadSession, routine_id: str, edit: str = "", look: str = ""
) -> Response:
    stored = load_routine(session, routine_id)
    station = stored.routine.preparation.station
    known = {f"{SURFACE}{each.id}" for each in station.surfaces}
    known |= {f"{SPOT}{each.id}" for each in station.spots} | {
        BAR,
        OUTSIDE,
        PHOTOGRAPH,
        f"{SURFACE}new",
    }
    edit = edit if edit in known else ""
    form = start_of_form(edit, station_values(stored.routine, edit)) if edit else Form()
    return page(request, station_context(session, stored, form, edit, look=look))


@router.post("/station/bar")
def post_bar(edit: Edit) -> Response:
    return save_station(edit, lambda held: with_bar(edit.typed, held), "changed the station", BAR)


@router.post("/station/outside")
def post_outside(edit: Edit) -> Response:
    """What setting up and clearing away consist of."""

    def change(routine: Routine) -> Routine:
        return replace(routine, preparation=with_chores(edit.typed, routine.preparation))

    label = "changed setting up and clearing away"
    return edit.save_form(change, label, PLACE, station_context, station_values, OUTSIDE)


@router.post("/station/surfaces/{surface_id}")
def post_surface(edit: Edit, surface_id: str) -> Response:
    def change(station: Station) -> Station:
        return with_surface(edit.typed, station, id_or_new(station.surfaces, surface_id))

    return save_station(edit, change, edit.label_of(surface_id), f"{SURFACE}{surface_id}")


@router.post("/station/surfaces/{surface_id}/delete")
def post_surface_delete(edit: Edit, surface_id: str) -> Response:
    name = part_of(edit.routine.preparation.station.surfaces, surface_id).name

    def change(station: Station) -> Station:
        return replace(station, surfaces=without(station.surfaces, surface_id))

    return save_station(edit, change, f"deleted “{name}”")


@router.post("/station/spots/{spot_id}")
def post_spot(edit: Edit, spot_id: str) -> Response:
    label = f"changed where “{name_at(edit, spot_id)}” stands"
    return save_station(
        edit, lambda held: with_spot(edit.typed, held, spot_id), label, f"{SPOT}{spot_id}"
    )


@router.post("/station/spots/{spot_id}/delete")
def post_spot_delete(edit: Edit, spot_id: str) -> Response:
    name = name_at(edit, spot_id)

    def change(station: Station) -> Station:
        return replace(station, spots=without(station.spots, spot_id))

    return save_station(edit, change, f"took “{name}” off the bar")


@router.post("/station/move")
def post_move(edit: Edit) -> Response:
    """A thing was dragged, or moved by arrow keys; it comes to lie on the nearest surface."""
    spot_id = edit.typed.text("spot")
    x, y = (edit.typed.number(name, -FARTHEST_CM, 2 * FARTHEST_CM) for name in ("x", "y"))

    def change(station: Station) -> Station:
        edit.typed.check()
        spot = part_of(station.spots, spot_id)
        within = (min(max(each, 0.0), FARTHEST_CM) for each in (x, y))
        moved = held_on(station, replace(spot, x_cm=next(within), y_cm=next(within)))
        return replace(station, spots=put(station.spots, moved))

    return save_station(edit, change, f"moved “{name_at(edit, spot_id)}”")


@router.post("/station/place")
def post_place(edit: Edit) -> Response:
    """Set out a thing of the kit, or with no key all that stands nowhere yet."""
    key = edit.typed.text("key")
    kit = kit_of_stored(edit.session, edit.routine)

    def change(station: Station) -> Station:
        if not station.surfaces:
            raise InvalidInput.of("key", "Say how large the bar is first.")
        placed = {spot.key for spot in station.spots}
        chosen = [each for each in kit if each.is_needed and each.key not in placed]
        chosen = [each for each in chosen if each.key == key] if key else chosen
        if not chosen:
            raise InvalidInput.of("key", "That stands on the bar already, or is not of the kit.")
        for thing in chosen[: MOST_SPOTS - len(station.spots)]:
            spot = set_down(station, new_spot(thing))
            if spot is None and key:
                spot = set_in_the_middle(station, new_spot(thing))
            if spot is not None:
                station = replace(station, spots=(*station.spots, spot))
        if len(station.spots) == len(placed):
            raise InvalidInput.of("key", "There is no room left: add a surface.")
        return station

    return save_station(
        edit, change, "set out the bar" if not key else f"set out “{key.partition(':')[2]}”"
    )


@router.post("/station/better")
def post_better(edit: Edit) -> Response:
    """Take a proposal over, if the bar is still as it was when that was shown."""
    kit = kit_of_stored(edit.session, edit.routine)
    mark, look = edit.typed.text("mark"), edit.typed.text("look")

    def change(routine: Routine) -> Routine:
        if mark_of_station(routine.preparation.station) != mark:
            raise InvalidInput.of("mark", "The bar was changed meanwhile. Look once more.")
        return _with(routine, _proposed(routine, kit, look).station)

    label = "set the bar out better"
    return edit.save_form(change, label, PLACE, station_context, station_values)


def station_context(
    session: Session, stored: StoredRoutine, form: Form, edit: str, look: str = ""
) -> StationPage:
    """What the page shows; `edit` names the open form, `look` which proposal."""
    context = routine_context(session, stored, PLACE)
    routine = stored.routine
    station = routine.preparation.station
    kit = kit_of(routine, context["rules"])
    found = measured(routine, kit, station)
    runs = list_runs(session, routine.id)
    proposal = _proposed(routine, kit, look) if look in LOOKS and found.stood else None
    spot_id = edit.removeprefix(SPOT) if edit.startswith(SPOT) else ""
    headline, beneath = headline_of(found)
    return StationPage(
        **context,
        headline=headline,
        beneath=beneath,
        drawing=drawn(routine, found, spot_id, proposal) if station.surfaces else None,
        findings=tuple(findings_of(found)),
        at_once=AT_ONCE,
        lines=lines_of(found, tints_of(routine)),
        unplaced=unplaced_of(station, kit),
        outside=outside_shown(outside_of(routine, context["rules"], runs)),
        better=None if proposal is None else _better(routine, kit, proposal, runs, look),
        photograph=bar_photograph(session, routine.id),
        edit=edit,
        edited=found.names.get(spot_id, ""),
        form=form,
        hands=HANDS,
        sides=SIDES,
        heats=HEATS,
        holds=HOLDS,
        surfaces=surface_names(station),
    )


def _better(
    routine: Routine,
    kit: tuple[KitThing, ...],
    proposal: "PlaceProposal",
    runs: Sequence[RunLine],
    look: str,
) -> Better:
    before = measured(routine, kit, routine.preparation.station)
    after = measured(routine, kit, proposal.station)
    return better_of(proposal, before, after, runs, look)


def _proposed(routine: Routine, kit: tuple[KitThing, ...], look: str) -> "PlaceProposal":
    # It loads NumPy, which no other page of this room needs.
    from server.domain.prepare.station.better import better_station

    found = measured(routine, kit, routine.preparation.station)
    most = LOOKS.get(look)
    return better_station(found.station, found.stood, found.uses, found.pours, most)


def name_at(edit: Editor, spot_id: str) -> str:
    spot = part_of(edit.routine.preparation.station.spots, spot_id)
    kit = kit_of_stored(edit.session, edit.routine)
    names = {each.key: each.name for each in kit}
    return short_name(names.get(spot.key, spot.thing.partition(":")[2]))


def _with(routine: Routine, station: Station) -> Routine:
    return replace(routine, preparation=replace(routine.preparation, station=station))


def save_station(
    edit: Editor, change: Callable[[Station], Station], label: str, form: str = ""
) -> Response:
    """Save and show the page, the form open again where it was refused."""

    def changed(routine: Routine) -> Routine:
        return _with(routine, change(routine.preparation.station))

    return edit.save_form(changed, label, PLACE, station_context, station_values, form)
