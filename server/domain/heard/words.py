"""Words with times: what captions or a recogniser make of a talk.

>>> spoken = Transcript((TimedWord("Plum.", 1.0, 1.4, 0.9),), timed=True, kind="recognised")
>>> transcript_from(transcript_document(spoken)) == spoken
True
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from server.domain.base.durations import DAY_S
from server.domain.base.errors import InvalidInput

Source = Literal["captions", "lines", "text", "recognised"]

SOURCES: dict[Source, str] = {
    "captions": "Captions",
    "lines": "Lines with times",
    "text": "Text without times",
    "recognised": "Recognised speech",
}
"""What a transcript was made from -> the words for it."""

MOST_WORDS = 60_000
"""Three hours of fast talk hold half as many."""

LONGEST_WORD = 200
"""Characters of a word that are kept."""

LATEST_S = DAY_S
"""No recording is longer than a day."""


@dataclass(frozen=True)
class TimedWord:
    """A word as it was written down, with its punctuation, and when it was said.

    `certain` is the recogniser's own probability, 0 to 1; None where nothing is told of it. In a
    transcript without times both times are 0.
    """

    text: str
    start_s: float
    end_s: float
    certain: float | None = None


@dataclass(frozen=True)
class Transcript:
    """The words of a talk in the order they are said; `timed` is whether they have times."""

    words: tuple[TimedWord, ...]
    timed: bool
    kind: Source

    @property
    def text(self) -> str:
        """All words in one line."""
        return " ".join(word.text for word in self.words)

    @property
    def end_s(self) -> float:
        """When the last word ends; 0 without words or times."""
        return max((word.end_s for word in self.words), default=0.0)


def transcript_document(transcript: Transcript) -> dict[str, object]:
    """A transcript as a JSON object: times in whole milliseconds, one list a word."""
    return {
        "kind": transcript.kind,
        "timed": transcript.timed,
        "words": [
            [word.text, round(word.start_s * 1000), round(word.end_s * 1000), word.certain]
            for word in transcript.words
        ],
    }


def transcript_from(document: Mapping[str, object]) -> Transcript:
    """The transcript in a JSON object. Raises InvalidInput where it is none."""
    kind, timed, rows = (document.get(name) for name in ("kind", "timed", "words"))
    if kind not in get_args(Source) or not isinstance(timed, bool) or not isinstance(rows, list):
        raise _unreadable()
    if len(rows) > MOST_WORDS:
        raise InvalidInput.of("file", f"More than {MOST_WORDS:,} words: cut it to one routine.")
    return Transcript(tuple(_word(row) for row in rows), timed, kind)  # type: ignore[arg-type]


def _word(row: object) -> TimedWord:
    if not isinstance(row, list) or len(row) != 4 or not isinstance(row[0], str):
        raise _unreadable()
    text, start_ms, end_ms, certain = row
    if not (_is_time(start_ms) and _is_time(end_ms) and start_ms <= end_ms):
        raise _unreadable()
    if certain is not None and not (_is_number(certain) and 0 <= certain <= 1):
        raise _unreadable()
    return TimedWord(text[:LONGEST_WORD], start_ms / 1000, end_ms / 1000, certain)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _is_time(value: object) -> bool:
    return _is_number(value) and 0 <= value <= LATEST_S * 1000  # type: ignore[operator]


def _unreadable() -> InvalidInput:
    return InvalidInput.of("file", "This transcript is damaged: make it again from the recording.")
