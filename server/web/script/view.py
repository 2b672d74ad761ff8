"""The script as its page shows it: each segment's sentences with marks, costs and verdicts."""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from server.domain.claims.backing import STATES
from server.domain.claims.pace import Paces, WordPace, costs, seconds_for
from server.domain.routine.plan import PlacedSegment, place_segments
from server.domain.routine.routine import Routine
from server.web.frame.guard import mark_of
from server.web.frame.tape import drink_classes
from server.web.script.check import Badge, badge_of, row_id, sentence_id

if TYPE_CHECKING:
    from server.domain.claims.ledger import Ledger, TextMark
    from server.domain.claims.rows import LedgerRow

OVER_S = 0.5
"""A text that takes less than this over its plan is as long as planned: pages show seconds."""

_PRESSING = ("wrong", "needs", "extra", "open")
"""Stubs that the rail shows a sign for, the most pressing first."""


@dataclass(frozen=True)
class SentencePiece:
    """A stretch of a sentence; with a badge where it makes a claim."""

    text: str
    row_id: str = ""
    label: str = ""
    badge: Badge | None = None


@dataclass(frozen=True)
class SentenceView:
    """A sentence: its pieces, where it begins in the text, and what it costs in seconds."""

    id: str
    start: int
    pieces: tuple[SentencePiece, ...]
    seconds: float

    @property
    def verdicts(self) -> tuple[SentencePiece, ...]:
        """The claims made in it, each once: what the margin shows."""
        return tuple({each.row_id: each for each in self.pieces if each.badge}.values())


@dataclass(frozen=True)
class SentenceBar:
    """A sentence on the strip of its segment, in percent of that."""

    x: float
    width: float
    is_wanting: bool


@dataclass(frozen=True)
class SegmentView:
    """A segment's text: how long it takes to say, beside what is planned for it."""

    placed: PlacedSegment
    drink: str
    """How its drink is drawn: "drink-1", or "no-drink"."""
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

    @property
    def seen_drink(self) -> str:
        """The same of its drink."""
        return mark_of(self.placed.segment.drink_id or "")

    @cached_property
    def drawn(self) -> str:
        """A mark of all that is shown beside the text: unchanged, it need not be sent again."""
        shown = (
            self.placed.segment.id,
            self.placed.segment.duration,
            self.drink,
            self.words,
            self.spoken_s,
            self.sentences,
        )
        return mark_of(repr(shown))

    @property
    def over_s(self) -> float:
        """How much longer the text takes than is planned for the segment; negative if shorter."""
        return self.spoken_s - self.placed.segment.duration.likely_s

    @property
    def is_over(self) -> bool:
        """Whether it takes longer than planned."""
        return bool(self.words) and self.over_s >= OVER_S

    @property
    def sign(self) -> str:
        """The most pressing verdict in it that is no "holds": a stub's name; "" where none."""
        stubs = {each.badge.stub for said in self.sentences for each in said.verdicts if each.badge}
        return next((stub for stub in _PRESSING if stub in stubs), "")

    @property
    def is_quiet(self) -> bool:
        """Whether nobody speaks in it: hands alone, and no words."""
        return self.placed.segment.lane == "hands" and not self.text.strip()

    @property
    def costs(self) -> tuple[SentenceBar, ...]:
        """Its sentences as a strip."""
        scale, at, found = 100 / self._strip_s, 0.0, []
        for each in self.sentences:
            wants = any(piece.badge and piece.badge.is_wanting for piece in each.pieces)
            width = each.seconds * scale
            found.append(SentenceBar(round(at, 2), round(width, 2), wants))
            at += width
        return tuple(found)

    @property
    def planned_at(self) -> float:
        """Where the planned time ends on that strip, in percent."""
        return round(100 * self.placed.segment.duration.likely_s / self._strip_s, 2)

    @property
    def _strip_s(self) -> float:
        return max(self.spoken_s, self.placed.segment.duration.likely_s, 0.1)


@dataclass(frozen=True)
class ScriptView:
    """The whole script."""

    segments: tuple[SegmentView, ...]
    pace: WordPace
    measured: int
    """How many segments are reckoned with what their own runs took."""
    words: int
    spoken_s: float
    low_s: float
    high_s: float
    voice_s: float
    """Planned time of the segments in which something is said."""

    def shown(self, segment_id: str) -> str:
        """The segment that is in view first: the one asked for, or the first that speaks."""
        ids = [each.placed.segment.id for each in self.segments]
        if segment_id in ids:
            return segment_id
        spoken = (each.placed.segment.id for each in self.segments if not each.is_quiet)
        return next(spoken, ids[0] if ids else "")


def script_view(
    stored: Routine, now: Routine, texts: Mapping[str, str], found: "Ledger", paces: Paces
) -> ScriptView:
    """The script of a routine that is kept as `stored` and was checked as `now`.

    `texts` are what stands in the editor: where a text is too long, `now` has another.
    """
    rows = {row.key: row for row in found.every}
    said = {segment.id: segment.said for segment in now.segments}
    drinks = drink_classes(stored)
    views = tuple(
        _segment_view(
            placed, drinks[placed.segment.id], (said[placed.segment.id], texts[placed.segment.id]),
            now.language, _marked(found, rows, placed.segment.id), paces.of(placed.segment.id),
        )
        for placed in place_segments(stored.segments)
    )  # fmt: skip
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


def _marked(
    found: "Ledger", rows: "Mapping[str, LedgerRow]", segment_id: str
) -> "list[tuple[TextMark, LedgerRow]]":
    return [(mark, rows[mark.row_key]) for mark in _apart(found.marks(segment_id))]


def _segment_view(
    placed: PlacedSegment,
    drink: str,
    texts: tuple[str, str],
    language: str,
    marked: "list[tuple[TextMark, LedgerRow]]",
    pace: WordPace,
) -> SegmentView:
    checked, shown = texts
    priced = costs(checked, pace, language)
    words = sum(cost.words for cost in priced)
    low_s, likely_s, high_s = (
        seconds_for(words, len(priced), each) for each in (pace.fastest, pace, pace.slowest)
    )
    return SegmentView(
        placed=placed,
        drink=drink,
        text=shown,
        words=words,
        spoken_s=likely_s,
        low_s=low_s,
        high_s=high_s,
        sentences=tuple(
            SentenceView(
                sentence_id(placed.segment.id, cost.index),
                cost.start,
                _pieces(checked, cost.start, cost.end, marked),
                cost.seconds,
            )
            for cost in priced
        ),
    )


def _apart(marks: "Sequence[TextMark]") -> "list[TextMark]":
    """Marks that do not overlap, the more pressing kept, in order."""
    rank = list(STATES)
    kept: list[TextMark] = []
    for mark in sorted(marks, key=lambda mark: (rank.index(mark.state), mark.start)):
        # Those kept are in order and do not overlap, so only the two beside it can.
        at = bisect_left(kept, mark.end, key=lambda other: other.start)
        if at == 0 or kept[at - 1].end <= mark.start:
            kept.insert(at, mark)
    return kept


def _pieces(
    text: str, start: int, end: int, marked: "list[tuple[TextMark, LedgerRow]]"
) -> tuple[SentencePiece, ...]:
    pieces, at = [], start
    for mark, row in marked[bisect_left(marked, start, key=lambda each: each[0].start) :]:
        if mark.start >= end:
            break
        if mark.end <= end:
            pieces.append(SentencePiece(text[at : mark.start]))
            shown = text[mark.start : mark.end]
            pieces.append(SentencePiece(shown, row_id(row.key), row.label, badge_of(row)))
            at = mark.end
    pieces.append(SentencePiece(text[at:end]))
    return tuple(piece for piece in pieces if piece.text)
