"""Segments that are named after a drink, though nobody said yet whose they are.

A talk is often written before the drinks are: “Hay Loft, serve” is then a segment of no drink, and
what is said in it cannot be held to a glass.
"""

from dataclasses import replace

from server.domain.routine.routine import Routine, Segment
from server.domain.whole.pasted import PastedSegment, drink_named


def with_segments_named_after(routine: Routine, drink_id: str) -> Routine:
    """The routine in which segments of no drink that are named after this one alone are its own.

    Only names count: words that mention a drink may lead over to it, or come back to it.
    """

    def owned(segment: Segment) -> Segment:
        named = drink_named(PastedSegment(segment.name, ""), routine.drinks)
        is_its = segment.drink_id is None and named == drink_id
        return replace(segment, drink_id=drink_id) if is_its else segment

    return replace(routine, segments=tuple(map(owned, routine.segments)))
