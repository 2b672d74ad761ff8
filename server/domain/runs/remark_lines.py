"""What watchers remarked of a run, in the segments it belongs to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from server.domain.runs.events import Verdict
from server.domain.runs.remarks import OtherWord
from server.domain.runs.run import IncidentState, RunState


@dataclass(frozen=True)
class RemarkLine:
    """One remark; `words` are what was ticked, written or called. `verdict` is a claim's, and
    `against` what others ticked of it.
    """

    id: str
    kind: Literal["claim", "note", "call"]
    elapsed_ms: int
    words: str
    who: str
    verdict: Verdict | None = None
    against: tuple[OtherWord, ...] = ()


@dataclass(frozen=True)
class SegmentRemarks:
    """The remarks on one segment, by its place in the plan; None for the run as a whole."""

    place: int | None
    lines: tuple[RemarkLine, ...]


def remarks_by_segment(
    state: RunState, segment_ids: Sequence[str], labels: Mapping[str, str]
) -> tuple[SegmentRemarks, ...]:
    """The remarks of all watchers in order of the plan and of time; segments without one left out.

    A remark belongs to the segment that was under way at its time. What its writer's page took for
    the segment is not asked: it may have been cut off. `labels` has the words for the keys of
    claims. A presenter's own notes are not among them.
    """
    lines = [*_claims(state, labels), *_notes(state), *_calls(state)]
    lines.sort(key=lambda each: (each.elapsed_ms, each.id))
    by_place: dict[int | None, list[RemarkLine]] = {}
    for line in lines:
        place = segment_at(line.elapsed_ms, state.ends_ms, state.total_ms)
        by_place.setdefault(place, []).append(line)
    in_order = [place for place in (*range(len(segment_ids)), None) if place in by_place]
    return tuple(SegmentRemarks(place, tuple(by_place[place])) for place in in_order)


def segment_at(
    elapsed_ms: int, ends_ms: Sequence[int | None], total_ms: int | None = None
) -> int | None:
    """The place of the segment under way at this reading of the clock, by the ends marked so far.

    After the last mark the next segment goes on, until the run is over at `total_ms` (None while it
    is not). None where it cannot be told: when all is over, or within segments marked as one. The
    browser's mirror is `static/js/watching/remark_place.js`; `tests/segment_cases.json` holds both.

    >>> segment_at(50, (60, None)), segment_at(60, (60, None)), segment_at(90, (60, None), 80)
    (0, 1, None)
    """
    if total_ms is not None and elapsed_ms >= total_ms:
        return None
    for place, (start_ms, end_ms) in enumerate(pairwise((0, *ends_ms))):
        if start_ms is not None and end_ms is not None and start_ms <= elapsed_ms < end_ms:
            return place
    marked = [(place, end_ms) for place, end_ms in enumerate(ends_ms) if end_ms is not None]
    last, last_end_ms = marked[-1] if marked else (-1, 0)
    is_there = last + 1 < len(ends_ms) and elapsed_ms >= last_end_ms
    return last + 1 if is_there else None


def segment_of_incident(
    incident: IncidentState, state: RunState, segment_ids: Sequence[str]
) -> str | None:
    """The segment in which something went wrong; None where it cannot be told.

    The presenter's device knows what was under way; what a watcher marked goes by its time.
    """
    if not incident.who:
        return incident.segment_id
    place = segment_at(incident.elapsed_ms, state.ends_ms, state.total_ms)
    return None if place is None else segment_ids[place]


def _claims(state: RunState, labels: Mapping[str, str]) -> list[RemarkLine]:
    return [
        RemarkLine(
            each.id,
            "claim",
            each.elapsed_ms,
            labels.get(each.claim, each.claim),
            each.who,
            each.verdict,
            each.against,
        )
        for each in state.claims
    ]


def _notes(state: RunState) -> list[RemarkLine]:
    return [
        RemarkLine(each.id, "note", each.elapsed_ms, each.text, each.who)
        for each in state.notes
        if each.who
    ]


def _calls(state: RunState) -> list[RemarkLine]:
    return [
        RemarkLine(each.id, "call", each.elapsed_ms, each.text, each.who) for each in state.calls
    ]
