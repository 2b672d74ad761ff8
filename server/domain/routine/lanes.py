"""Lanes: who waits for whom among the segments, before anything takes time.

* One person has one pair of hands and one voice: what uses the same lane follows in order.
* A segment waits for everything before it. That is the plain case, and the times then add up.
* A segment marked `alongside` starts with the segment before it, as soon as its own lane is free
  and what it is linked after is over: talk runs on while the hands do the next thing.
* A segment of a `helper` is done by other hands: what follows does not wait for it, unless linked.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, Protocol

Lane = Literal["hands", "voice", "both"]

PRESENTER = ("hands", "voice")
HELPER = "helper"


class InLanes(Protocol):
    """A segment as far as its waiting goes."""

    @property
    def id(self) -> str:
        """Its id."""

    @property
    def lane(self) -> Lane:
        """Hands, voice, or both."""

    @property
    def alongside(self) -> bool:
        """Whether it starts with the segment before it."""

    @property
    def after_ids(self) -> tuple[str, ...]:
        """The ids of the segments it is linked after."""

    @property
    def helper(self) -> bool:
        """Whether other hands do it."""


@dataclass(frozen=True)
class Waits:
    """What a segment waits for: the end of some segments, and the start of others."""

    after: tuple[str, ...] = ()
    with_start_of: tuple[str, ...] = ()

    def start_s(self, starts_s: Mapping[str, float], ends_s: Mapping[str, float]) -> float:
        """When it starts, given when the others start and end."""
        moments = [ends_s[each] for each in self.after]
        moments += [starts_s[each] for each in self.with_start_of]
        return max(moments, default=0.0)


def lanes_of(lane: Lane, helper: bool) -> tuple[str, ...]:
    """The lanes that a segment occupies."""
    if helper:
        return (HELPER,)
    return PRESENTER if lane == "both" else (lane,)


def waits_of(segments: Iterable[InLanes]) -> dict[str, Waits]:
    """Id -> what that segment waits for, in the order of the segments."""
    last: dict[str, str] = {}
    before: str | None = None
    waits = {}
    for segment in segments:
        lanes = lanes_of(segment.lane, segment.helper)
        awaited = lanes if segment.alongside else (*PRESENTER, *lanes)
        alongside = (before,) if segment.alongside and before is not None else ()
        after = (*(last[lane] for lane in awaited if lane in last), *segment.after_ids)
        waits[segment.id] = Waits(tuple(dict.fromkeys(after)), alongside)
        last |= dict.fromkeys(lanes, segment.id)
        before = segment.id
    return waits
