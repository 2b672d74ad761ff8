"""A thing on the bar is turned by a quarter."""

from dataclasses import replace

from fastapi import APIRouter, Response

from server.domain.base.errors import InvalidInput
from server.domain.prepare.station.places import fits_somewhere, held_on
from server.domain.routine.edits import part_of, put
from server.domain.routine.station import Station
from server.web.frame.editing import Edit
from server.web.prepare.station import name_at, save_station

router = APIRouter(prefix="/routines/{routine_id}")


@router.post("/station/spots/{spot_id}/turn")
def post_turn(edit: Edit, spot_id: str) -> Response:
    """What was its width is its depth; it stays on what it stands on."""

    def change(station: Station) -> Station:
        spot = part_of(station.spots, spot_id)
        turned = replace(spot, width_cm=spot.depth_cm, depth_cm=spot.width_cm)
        if not fits_somewhere(station, turned):
            raise InvalidInput.of("width", "Turned, it fits on none of your surfaces.")
        return replace(station, spots=put(station.spots, held_on(station, turned)))

    return save_station(edit, change, f"turned “{name_at(edit, spot_id)}”")
