"""What watchers remarked of a run, in the segments it belongs to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from server.domain.events import Verdict
from server.domain.run import RunState


@dataclass(frozen=True)
class RemarkLine:
    """One remark; `words` are what was ticked, written or called. `verdict` is a claim's."""

    id: str
    kind: Literal["claim", "note", "call"]
    elapsed_ms: int
    words: str
    who: str
    verdict: Verdict | None = None


@dataclass(frozen=True)
class SegmentRemarks:
    """The remarks on one segment, by its place in the plan; None for the run as a whole."""

    place: int | None
    lines: tuple[RemarkLine, ...]


def remarks_by_segment(
    state: RunState, segment_ids: Sequence[str], labels: Mapping[str, str]
) -> tuple[SegmentRemarks, ...]:
    """The remarks of all watchers in order of the plan and of time; segments without one left out.

    A remark belongs to the segment that it names, and otherwise to the one that was under way.
    `labels` has the words for the keys of claims. A presenter's own notes are not among them.
    """
    found = [*_claims(state, labels), *_notes(state), *_calls(state)]
    found.sort(key=lambda each: (each[1].elapsed_ms, each[1].id))
    by_place: dict[int | None, list[RemarkLine]] = {}
    for segment_id, line in found:
        place = _place(segment_id, line.elapsed_ms, segment_ids, state.ends_ms)
        by_place.setdefault(place, []).append(line)
    in_order = [place for place in (*range(len(segment_ids)), None) if place in by_place]
    return tuple(SegmentRemarks(place, tuple(by_place[place])) for place in in_order)


def segment_at(elapsed_ms: int, ends_ms: Sequence[int | None]) -> int | None:
    """The place of the segment under way at this reading of the clock.

    None where that cannot be told: past the last mark, or within segments that were marked as one.

    >>> segment_at(50, (60, 120)), segment_at(60, (60, 120)), segment_at(500, (60, 120))
    (0, 1, None)
    """
    starts_and_ends = pairwise((0, *ends_ms))
    for place, (start_ms, end_ms) in enumerate(starts_and_ends):
        is_known = start_ms is not None and end_ms is not None
        if is_known and start_ms <= elapsed_ms < end_ms:  # type: ignore[operator]
            return place
    return None


def _place(
    segment_id: str | None,
    elapsed_ms: int,
    segment_ids: Sequence[str],
    ends_ms: Sequence[int | None],
) -> int | None:
    if segment_id in segment_ids:
        return segment_ids.index(segment_id)
    return segment_at(elapsed_ms, ends_ms)


_Placed = tuple[str | None, RemarkLine]


def _claims(state: RunState, labels: Mapping[str, str]) -> list[_Placed]:
    return [
        (
            each.segment_id,
            RemarkLine(
                each.id,
                "claim",
                each.elapsed_ms,
                labels.get(each.claim, each.claim),
                each.who,
                each.verdict,
            ),
        )
        for each in state.claims
    ]


def _notes(state: RunState) -> list[_Placed]:
    return [
        (each.segment_id, RemarkLine(each.id, "note", each.elapsed_ms, each.text, each.who))
        for each in state.notes
        if each.who
    ]


def _calls(state: RunState) -> list[_Placed]:
    return [
        (None, RemarkLine(each.id, "call", each.elapsed_ms, each.text, each.who))
        for each in state.calls
    ]
