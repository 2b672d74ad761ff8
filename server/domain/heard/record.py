"""A take as it leaves and enters with its routine: its words with their times, and what they gave.

The sound stays where it is. Starts are those of the alignment; of them only what a person set is
read back, for the rest follows from the words.
"""

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from server.domain.base.documents import Document, Instant
from server.domain.base.durations import DAY_MS
from server.domain.base.errors import InvalidInput
from server.domain.base.ids import Id
from server.domain.base.text import LINE
from server.domain.heard.decided import Decided, TakeMs
from server.domain.heard.words import LONGEST_WORD, MOST_WORDS, Source, TimedWord, Transcript
from server.domain.runs.events import Verdict

MOST_TAKES = 200
"""Takes of one routine in a file."""

MOST_STARTS = 500
WordTime = Annotated[int, Field(ge=0, le=DAY_MS)]


@dataclass(frozen=True)
class WordRecord(Document):
    """A word and when it was said, in ms; `certain` as the recogniser told it."""

    text: Annotated[str, Field(max_length=LONGEST_WORD)]
    from_ms: WordTime = 0
    until_ms: WordTime = 0
    certain: Annotated[float, Field(ge=0, le=1)] | None = None

    def __post_init__(self) -> None:
        if self.until_ms < self.from_ms:
            raise InvalidInput.of("words", "A word ends before it begins.")


@dataclass(frozen=True)
class StartRecord(Document):
    """Where a segment begins, or the run ("start", "finish"); `is_set` by a person."""

    segment_id: Annotated[str, Field(min_length=1, max_length=64)]
    at_ms: TakeMs
    is_set: bool = False


@dataclass(frozen=True)
class ListenedRecord(Document):
    """What a person said of a claim after listening."""

    claim: Annotated[str, Field(min_length=1, max_length=1000)]
    verdict: Verdict


@dataclass(frozen=True)
class TakeRecord(Document):
    """A take with its words; the runs are those of the same file."""

    id: Id
    plan_key: str
    created_ms: Instant
    kind: Source
    timed: bool
    words: Annotated[tuple[WordRecord, ...], Field(max_length=MOST_WORDS)]
    name: Annotated[str, Field(max_length=LINE)] = ""
    started_ms: Instant | None = None
    words_from: Annotated[str, Field(max_length=LINE)] = ""
    starts: Annotated[tuple[StartRecord, ...], Field(max_length=MOST_STARTS)] = ()
    listened: Annotated[tuple[ListenedRecord, ...], Field(max_length=MOST_WORDS)] = ()
    onsets_ms: Annotated[tuple[TakeMs, ...], Field(max_length=MOST_WORDS)] = ()
    run_id: Id | None = None
    beside_run_id: Id | None = None

    @property
    def transcript(self) -> Transcript:
        """Its words as they are laid against a script."""
        words = tuple(
            TimedWord(each.text, each.from_ms / 1000, each.until_ms / 1000, each.certain)
            for each in self.words
        )
        return Transcript(words, self.timed, self.kind)

    @property
    def decided(self) -> Decided:
        """What a person decided of it."""
        moved = {each.segment_id: each.at_ms for each in self.starts if each.is_set}
        return Decided(moved, {each.claim: each.verdict for each in self.listened})


def word_records(transcript: Transcript) -> tuple[WordRecord, ...]:
    """The words of a transcript as they leave, with times in whole milliseconds."""
    return tuple(
        WordRecord(each.text, round(each.start_s * 1000), round(each.end_s * 1000), each.certain)
        for each in transcript.words
    )
