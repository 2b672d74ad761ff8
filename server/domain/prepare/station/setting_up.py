"""In which order things are set up: nothing is reached for over what stands already."""

from collections.abc import Sequence

from server.domain.prepare.station.amiss import heat_at, surface_of
from server.domain.prepare.station.uses import Stood
from server.domain.routine.station import Station

_BY_HEAT = {"": 0, "neither": 0, "hot": 1, "cold": 2}
"""What is hot comes late, and what must stay cold last."""


def in_order(station: Station, stood: Sequence[Stood]) -> tuple[Stood, ...]:
    """What cannot be moved first, then surface by surface from the far side, left to right."""
    numbers = {each.id: number for number, each in enumerate(station.surfaces)}

    def rank(each: Stood) -> tuple[bool, int, int, float, float]:
        surface = surface_of(station, each.spot)
        number = len(numbers) if surface is None else numbers[surface.id]
        far_edge = each.spot.y_cm + each.spot.depth_cm / 2
        return (
            not each.spot.stays,
            _BY_HEAT[heat_at(each)],
            number,
            round(far_edge / 10),
            each.spot.x_cm,
        )

    return tuple(sorted(stood, key=rank))


def where_words(station: Station, each: Stood) -> str:
    """Where its middle is, measured from the edges of its surface, as a card says it."""
    surface = surface_of(station, each.spot)
    if surface is None:
        return "on no surface"
    left = each.spot.x_cm - surface.x_cm
    far = each.spot.y_cm - surface.y_cm
    on = f"{surface.name}, " if len(station.surfaces) > 1 else ""
    return f"{on}{left:.0f} cm from the left, {far:.0f} from the far edge"
