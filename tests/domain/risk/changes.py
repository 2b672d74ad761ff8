"""Changes made on the parts of a model themselves: what a tryout of the routine is held against."""

from dataclasses import dataclass, replace
from typing import NamedTuple

from server.domain.base.errors import InvalidInput
from server.domain.risk.activities import Fallback
from server.domain.risk.forecast import FULL, forecast
from server.domain.risk.outcome import Forecast
from server.domain.risk.parts import Parts, TimedSegment
from server.domain.routine.edits import moved, part_of, put
from server.domain.routine.estimate import around

HELPER_SUFFIX = "-helper"


@dataclass(frozen=True)
class Lengthen:
    """Plan a segment for so many seconds more; fewer where negative.

    Words get longer or shorter with it: use it for a block whose edge is dragged.
    """

    segment_id: str
    seconds: float

    def made(self, parts: Parts) -> Parts:
        """The parts with the segment so much longer."""
        segment = part_of(parts.segments, self.segment_id)
        voice_s = segment.voice_s
        if voice_s is not None:
            voice_s = max(voice_s + self.seconds, 0.0)
        planned = segment.planned.changed_by(self.seconds)
        return _with(parts, replace(segment, planned=planned, voice_s=voice_s))


@dataclass(frozen=True)
class Swap:
    """Let two segments change places."""

    first_id: str
    second_id: str

    def made(self, parts: Parts) -> Parts:
        """The parts in the new order."""
        first = part_of(parts.segments, self.first_id)
        second = part_of(parts.segments, self.second_id)
        places = {first.id: second, second.id: first}
        return replace(parts, segments=tuple(places.get(each.id, each) for each in parts.segments))


@dataclass(frozen=True)
class AddHelper:
    """Let other hands do a segment; `needed_by_id` is the segment that waits for its end.

    What is said in it stays with the presenter. Where how long that takes is not known, it is
    taken to fill the segment, and the helper then saves nothing.
    """

    segment_id: str
    needed_by_id: str | None = None

    def made(self, parts: Parts) -> Parts:
        """The parts with the hands of the segment in a lane of their own."""
        segment = part_of(parts.segments, self.segment_id)
        if segment.lane == "voice":
            raise InvalidInput.of("segment", f"“{segment.name}” leaves a helper nothing to do.")
        if segment.lane == "hands":
            helped = _with(parts, replace(segment, helper=True))
            return _needed(helped, segment.id, self.needed_by_id)
        hands = replace(
            segment,
            id=segment.id + HELPER_SUFFIX,
            lane="hands",
            helper=True,
            alongside=True,
            voice_s=None,
        )
        said = segment.planned if segment.voice_s is None else around(segment.voice_s)
        spoken = replace(segment, lane="voice", planned=said)
        segments = moved((*_with(parts, spoken).segments, hands), hands.id, _place(parts, segment))
        return _needed(replace(parts, segments=segments), hands.id, self.needed_by_id)


@dataclass(frozen=True)
class SetFallback:
    """Do something else about a process that is late; None waits for it, however long."""

    process_id: str
    fallback: Fallback | None

    def made(self, parts: Parts) -> Parts:
        """The parts with this fallback."""
        process = part_of(parts.processes, self.process_id)
        changed = replace(process, fallback=self.fallback)
        return replace(parts, processes=put(parts.processes, changed))


@dataclass(frozen=True)
class StartAfter:
    """Start a process at the end of another segment."""

    process_id: str
    segment_id: str

    def made(self, parts: Parts) -> Parts:
        """The parts with the process hung on that segment."""
        part_of(parts.segments, self.segment_id)
        process = part_of(parts.processes, self.process_id)
        changed = replace(process, after_id=self.segment_id)
        return replace(parts, processes=put(parts.processes, changed))


def _with(parts: Parts, segment: TimedSegment) -> Parts:
    return replace(parts, segments=put(parts.segments, segment))


def _place(parts: Parts, segment: TimedSegment) -> int:
    """The place right behind a segment."""
    return [each.id for each in parts.segments].index(segment.id) + 1


def _needed(parts: Parts, segment_id: str, needed_by_id: str | None) -> Parts:
    if needed_by_id is None:
        return parts
    needing = part_of(parts.segments, needed_by_id)
    return _with(parts, replace(needing, after_ids=(*needing.after_ids, segment_id)))


class BeforeAfter(NamedTuple):
    """The forecast of a plan as it stands, and of the plan after a change."""

    before: Forecast
    after: Forecast


def what_if(model, rules, changes, slots=FULL):
    """Before and after some changes, with the same luck on both sides."""
    parts = model.parts
    for change in changes:
        parts = change.made(parts)
    after = forecast(model.changed(parts), rules, slots)
    return BeforeAfter(forecast(model, rules, slots), after)
