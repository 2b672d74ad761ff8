"""How a take was said, for its page: pace by segment, pauses, fillers."""

from dataclasses import dataclass

from server.domain.claims.pace import Paces
from server.domain.heard.manner import SegmentManner, manner_of
from server.web.heard.reading import Reading

MOST_PAUSES = 12


@dataclass(frozen=True)
class PauseLine:
    """A pause of more than two seconds, and what the hands were to do then."""

    from_ms: int
    length_s: float
    segment: str
    hands: str


@dataclass(frozen=True)
class MannerView:
    """`pauses` are the longest; `more_pauses` are not listed. Words a minute may be unknown."""

    wpm: float | None
    segments: tuple[SegmentManner, ...]
    pauses: tuple[PauseLine, ...]
    more_pauses: int
    fillers: tuple[tuple[str, int], ...]
    left_out: int


def manner_view(reading: Reading, paces: Paces) -> MannerView:
    """How a take was said, beside the presenter's own `paces`."""
    routine = reading.plan.routine
    manner = manner_of(routine, reading.transcript, reading.now, paces)
    names = {each.id: each.name for each in routine.segments}
    longest = sorted(manner.pauses, key=lambda each: -each.length_s)[:MOST_PAUSES]
    return MannerView(
        wpm=manner.wpm,
        segments=tuple(each for each in manner.segments if each.wpm is not None or each.left_out),
        pauses=tuple(
            PauseLine(
                round(each.start_s * 1000),
                each.length_s,
                names.get(each.segment_id or "", ""),
                each.hands,
            )
            for each in sorted(longest, key=lambda each: each.start_s)
        ),
        more_pauses=len(manner.pauses) - len(longest),
        fillers=manner.fillers,
        left_out=len(manner.left_out),
    )
