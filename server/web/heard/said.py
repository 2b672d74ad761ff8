"""The text of each segment beside what was said: what is missing, and what was said besides."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.heard.alignment import AlignedStretch, Alignment, SentenceMatch
from server.domain.heard.words import Transcript
from server.domain.routine.routine import Routine


@dataclass(frozen=True)
class Piece:
    """A stretch of a sentence; `is_missing` where it was not found among what was said."""

    text: str
    is_missing: bool


@dataclass(frozen=True)
class SaidSentence:
    """A sentence of the script: found, found in part, or left out; when, in ms of the take."""

    pieces: tuple[Piece, ...]
    is_found: bool
    from_ms: int | None
    until_ms: int | None


@dataclass(frozen=True)
class Beside:
    """What was said and stands in no script, or was said twice."""

    text: str
    from_ms: int
    until_ms: int
    is_repeat: bool


@dataclass(frozen=True)
class SegmentText:
    """A segment's text with what differs; `found` of its `sentences` were said."""

    segment_id: str
    number: int
    name: str
    sentences: tuple[SaidSentence, ...]
    beside: tuple[Beside, ...]

    @property
    def found(self) -> int:
        """How many of its sentences were said."""
        return sum(each.is_found for each in self.sentences)

    @property
    def differs(self) -> bool:
        """Whether there is anything to look at."""
        is_whole = all(
            each.is_found and not any(piece.is_missing for piece in each.pieces)
            for each in self.sentences
        )
        return not is_whole or bool(self.beside)


@dataclass(frozen=True)
class NearWord:
    """A word of the talk near a boundary, which may be put at its beginning."""

    text: str
    at_ms: int
    is_after: bool


def segment_texts(routine: Routine, alignment: Alignment, language: str) -> tuple[SegmentText, ...]:
    """Every segment with words, or into which something was said."""
    found = []
    for number, segment in enumerate(routine.segments, 1):
        sentences = tuple(
            _sentence(each, language) for each in alignment.matched if each.segment_id == segment.id
        )
        beside = tuple(
            _beside(each, is_repeat)
            for stretches, is_repeat in ((alignment.improvised, False), (alignment.repeated, True))
            for each in stretches
            if each.segment_id == segment.id
        )
        if sentences or beside:
            found.append(SegmentText(segment.id, number, segment.name, sentences, beside))
    return tuple(found)


def swapped_segments(routine: Routine, alignment: Alignment) -> tuple[str, ...]:
    """The segments with sentences that were said out of their turn: "5. Brew", in their order."""
    ids = {each.segment_id for each in alignment.swapped}
    return tuple(
        f"{number}. {each.name}"
        for number, each in enumerate(routine.segments, 1)
        if each.id in ids
    )


def words_near(transcript: Transcript, at_ms: int, most: int = 7) -> tuple[NearWord, ...]:
    """The words just before and after a boundary, at most so many on each side."""
    words = transcript.words
    starts = [round(each.start_s * 1000) for each in words]
    first = next((n for n, start in enumerate(starts) if start >= at_ms), len(words))
    return tuple(
        NearWord(words[n].text, starts[n], n >= first)
        for n in range(max(0, first - most), min(len(words), first + most))
    )


def _sentence(match: SentenceMatch, language: str) -> SaidSentence:
    pieces = _pieces(match, language) if match.is_found else (Piece(match.text, is_missing=True),)
    return SaidSentence(pieces, match.is_found, _ms(match.start_s), _ms(match.end_s))


def _pieces(match: SentenceMatch, language: str) -> tuple[Piece, ...]:
    """A sentence parted where words of it were found and where they were not."""
    from server.domain.heard.plain_words import plain_words

    said = {place for place, _ in match.pairs}
    spans: list[tuple[int, int, bool]] = []
    for place, word in enumerate(plain_words(match.text, language)):
        is_missing = place not in said
        if spans and spans[-1][0] == word.start:
            # Several spoken words of one written: it is missing only where all of them are.
            spans[-1] = (word.start, word.end, spans[-1][2] and is_missing)
        else:
            spans.append((word.start, word.end, is_missing))
    return _joined(match.text, spans)


def _joined(text: str, spans: Sequence[tuple[int, int, bool]]) -> tuple[Piece, ...]:
    pieces: list[Piece] = []
    at = 0
    for number, (_, _, is_missing) in enumerate(spans):
        # What stands between two words goes with the first of them.
        until = spans[number + 1][0] if number + 1 < len(spans) else len(text)
        part = text[at:until]
        if pieces and pieces[-1].is_missing == is_missing:
            pieces[-1] = Piece(pieces[-1].text + part, is_missing)
        else:
            pieces.append(Piece(part, is_missing))
        at = until
    return tuple(pieces) or (Piece(text, is_missing=False),)


def _beside(stretch: AlignedStretch, is_repeat: bool) -> Beside:
    return Beside(
        stretch.text, round(stretch.start_s * 1000), round(stretch.end_s * 1000), is_repeat
    )


def _ms(seconds: float | None) -> int | None:
    return None if seconds is None else round(seconds * 1000)
