"""A take as a tape: each segment a block in the colour of its drink, between its boundaries.

Places and widths are in percent of what is shown: the run with a little before and after it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.durations import format_clock
from server.domain.heard.decided import START
from server.domain.routine.routine import Routine
from server.web.frame.axis import round_moments
from server.web.frame.tape import PlacedStretch, Post, drink_classes
from server.web.heard.starts import BY_HAND, StartLine

BESIDE_S = 12.0
"""So much is shown before the clock starts and after it stops."""

MOST_TICKS = 12


@dataclass(frozen=True)
class TapeCut:
    """A boundary on the tape; `x` in percent, `is_guess` where nobody heard it."""

    key: str
    x: float
    title: str
    is_guess: bool


@dataclass(frozen=True)
class TakeTape:
    """What is drawn of a take, from `from_ms` to `to_ms` of its own clock."""

    from_ms: int
    to_ms: int
    blocks: tuple[PlacedStretch, ...]
    cuts: tuple[TapeCut, ...]
    ticks: tuple[Post, ...]


def take_tape(routine: Routine, lines: Sequence[StartLine], lasts_ms: int) -> TakeTape:
    """The tape of a take whose sound (or last word) ends at `lasts_ms`."""
    at_ms = [each.at_ms for each in lines]
    from_ms = max(0, min(at_ms) - round(BESIDE_S * 1000))
    to_ms = max(max(at_ms) + round(BESIDE_S * 1000), from_ms + 1000)
    if lasts_ms:
        to_ms = max(min(to_ms, lasts_ms), max(at_ms), from_ms + 1000)
    span_ms = to_ms - from_ms

    def x(ms: float) -> float:
        return round((ms - from_ms) * 100 / span_ms, 3)

    kinds = drink_classes(routine)
    start_ms = next((each.at_ms for each in lines if each.key == START), 0)
    blocks = tuple(
        PlacedStretch(
            x(each.at_ms),
            max(0.0, x(each.at_ms + (each.took_ms or 0)) - x(each.at_ms)),
            kinds.get(each.segment_id, "no-drink"),
            each.title,
        )
        for each in lines
        if each.took_ms
    )
    cuts = tuple(
        TapeCut(
            each.key,
            x(each.at_ms),
            ", ".join(
                (each.title, format_clock((each.at_ms - start_ms) / 1000), each.how_sure.lower())
            ),
            each.how_sure not in (BY_HAND, "Sure", "Likely"),
        )
        for each in lines
    )
    ticks = tuple(
        Post(x(start_ms + s * 1000), format_clock(s), "tick")
        for s in round_moments(0, (to_ms - start_ms) / 1000, MOST_TICKS)
    )
    return TakeTape(from_ms, to_ms, blocks, cuts, ticks)
