"""A thing on the bar is turned by a quarter."""

from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Response

from server.domain.base.errors import InvalidInput
from server.domain.prepare.station.places import fits_somewhere, held_on
from server.domain.routine.edits import part_of, put
from server.domain.routine.routine import Routine
from server.web.frame.editing import Edit
from server.web.prepare.station import PLACE, name_at, station_context

router = APIRouter(prefix="/routines/{routine_id}")


@router.post("/station/spots/{spot_id}/turn")
def post_turn(edit: Edit, spot_id: str) -> Response:
    """What was its width is its depth; it stays on what it stands on."""

    def change(routine: Routine) -> Routine:
        station = routine.preparation.station
        spot = part_of(station.spots, spot_id)
        turned = replace(spot, width_cm=spot.depth_cm, depth_cm=spot.width_cm)
        if not fits_somewhere(station, turned):
            raise InvalidInput.of("width", "Turned, it fits on none of your surfaces.")
        spots = put(station.spots, held_on(station, turned))
        placed = replace(station, spots=spots)
        return replace(routine, preparation=replace(routine.preparation, station=placed))

    label = f"turned “{name_at(edit, spot_id)}”"
    return edit.save(change, label, PLACE, partial(station_context, edit=""))
