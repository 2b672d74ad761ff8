"""The script as its page shows it: each segment's sentences with marks, costs and times."""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from server.domain.claims.backing import STATES
from server.domain.claims.pace import Pace, Paces, costs, seconds_for
from server.domain.routine.plan import PlacedSegment, place_segments
from server.domain.routine.routine import Routine
from server.web.frame.guard import mark_of
from server.web.script.check import Badge, badge, badge_key, row_id, sentence_id

if TYPE_CHECKING:
    from server.domain.claims.ledger import Ledger, Mark
    from server.domain.claims.rows import Row


@dataclass(frozen=True)
class Piece:
    """A stretch of a sentence; with a badge where it makes a claim."""

    text: str
    row_id: str = ""
    label: str = ""
    badge: Badge | None = None


@dataclass(frozen=True)
class SentenceView:
    """A sentence: its pieces, and what it costs in seconds."""

    id: str
    pieces: tuple[Piece, ...]
    seconds: float


@dataclass(frozen=True)
class SegmentView:
    """A segment's text: how long it takes to say, beside what is planned for it."""

    placed: PlacedSegment
    text: str
    words: int
    spoken_s: float
    low_s: float
    high_s: float
    sentences: tuple[SentenceView, ...]

    @property
    def seen(self) -> str:
        """A mark of the text as it is stored, to tell whether it was changed elsewhere."""
        return mark_of(self.placed.segment.said)

    @cached_property
    def drawn(self) -> str:
        """A mark of all that is shown beside the text: unchanged, it need not be sent again."""
        return mark_of(
            repr(
                (
                    self.placed.segment.id,
                    self.placed.segment.duration,
                    self.words,
                    self.spoken_s,
                    self.sentences,
                )
            )
        )

    @property
    def over_s(self) -> float:
        """How much longer the text takes than is planned for the segment; negative if shorter."""
        return self.spoken_s - self.placed.segment.duration.likely_s


@dataclass(frozen=True)
class ScriptView:
    """The whole script."""

    segments: tuple[SegmentView, ...]
    pace: Pace
    measured: int
    """How many segments are reckoned with what their own runs took."""
    words: int
    spoken_s: float
    low_s: float
    high_s: float
    voice_s: float
    """Planned time of the segments in which something is said."""


def script_view(
    stored: Routine, now: Routine, texts: Mapping[str, str], found: "Ledger", paces: Paces
) -> ScriptView:
    """The script of a routine that is kept as `stored` and was checked as `now`.

    `texts` are what stands in the editor: where a text is too long, `now` has another.
    """
    rows = {row.key: row for row in found.rows}
    said = {segment.id: segment.said for segment in now.segments}
    views = tuple(
        replace(
            _segment_view(
                placed,
                said[placed.segment.id],
                now.language,
                found,
                rows,
                paces.of(placed.segment.id),
            ),
            text=texts[placed.segment.id],
        )
        for placed in place_segments(stored.segments)
    )
    spoken = [view for view in views if view.words]
    return ScriptView(
        segments=views,
        pace=paces.common,
        measured=len(paces.own),
        words=sum(view.words for view in views),
        spoken_s=sum(view.spoken_s for view in views),
        low_s=sum(view.low_s for view in views),
        high_s=sum(view.high_s for view in views),
        voice_s=sum(view.placed.segment.duration.likely_s for view in spoken),
    )


def _segment_view(
    placed: PlacedSegment,
    text: str,
    language: str,
    found: "Ledger",
    rows: "dict[str, Row]",
    pace: Pace,
) -> SegmentView:
    priced = costs(text, pace, language)
    words = sum(cost.words for cost in priced)
    key = placed.segment.id
    marks = _apart(found.marks(key))
    low_s, likely_s, high_s = (
        seconds_for(words, len(priced), each) for each in (pace.fastest, pace, pace.slowest)
    )
    return SegmentView(
        placed=placed,
        text=text,
        words=words,
        spoken_s=likely_s,
        low_s=low_s,
        high_s=high_s,
        sentences=tuple(
            SentenceView(
                sentence_id(key, cost.index),
                _pieces(text, cost.start, cost.end, marks, rows),
                cost.seconds,
            )
            for cost in priced
        ),
    )


def _apart(marks: "Sequence[Mark]") -> "list[Mark]":
    """Marks that do not overlap, the more pressing kept, in order."""
    rank = list(STATES)
    kept: list[Mark] = []
    for mark in sorted(marks, key=lambda mark: (rank.index(mark.state), mark.start)):
        # Those kept are in order and do not overlap, so only the two beside it can.
        at = bisect_left(kept, mark.end, key=lambda other: other.start)
        if at == 0 or kept[at - 1].end <= mark.start:
            kept.insert(at, mark)
    return kept


def _pieces(
    text: str, start: int, end: int, marks: "Sequence[Mark]", rows: "dict[str, Row]"
) -> tuple[Piece, ...]:
    pieces, at = [], start
    for mark in marks[bisect_left(marks, start, key=lambda mark: mark.start) :]:
        if mark.start >= end:
            break
        if mark.end <= end:
            row = rows[mark.row_key]
            pieces.append(Piece(text[at : mark.start]))
            shown = badge(badge_key(row))
            pieces.append(Piece(text[mark.start : mark.end], row_id(row.key), row.label, shown))
            at = mark.end
    pieces.append(Piece(text[at:end]))
    return tuple(piece for piece in pieces if piece.text)
