"""What aligning finds: where in a talk the script was said, and how sure that is."""

from dataclasses import dataclass
from typing import Literal

from server.domain.routine.plan import mark_steps
from server.domain.routine.routine import Routine

Certain = Literal["sure", "likely", "guess"]
Verdict = Literal["good", "fair", "poor", "none"]

CERTAINTIES: dict[Certain, str] = {"sure": "Sure", "likely": "Likely", "guess": "A guess"}
"""How sure a boundary is -> the words for it."""


@dataclass(frozen=True)
class SpokenSegment:
    """A segment of the frozen plan: what is to be said in it, and how long it is to take, in s."""

    id: str
    name: str
    text: str
    planned_s: float


def spoken_segments(routine: Routine) -> tuple[SpokenSegment, ...]:
    """The segments of a plan in the order of the stage, each with its step from mark to mark."""
    steps = mark_steps(routine.segments)
    return tuple(
        SpokenSegment(each.id, each.name, each.said, steps[each.id]) for each in routine.segments
    )


@dataclass(frozen=True)
class Boundary:
    """Where a segment begins in the recording, in s from its start, and why that is believed."""

    segment_id: str
    start_s: float
    certain: Certain
    why: str = ""


@dataclass(frozen=True)
class SentenceMatch:
    """A sentence of the script and the words of the talk that it was paired with.

    `start` and `end` are offsets into the segment's text; `first` and `stop` bound its words in
    the transcript (None where it was not found), `share` is how much of it was found, 0 to 1.
    `pairs` holds (place of a word in the sentence, place in the transcript) for each word found,
    `exact` those of them that are the same word.
    """

    segment_id: str
    index: int
    start: int
    end: int
    text: str
    share: float
    first: int | None = None
    stop: int | None = None
    start_s: float | None = None
    end_s: float | None = None
    pairs: tuple[tuple[int, int], ...] = ()
    exact: frozenset[int] = frozenset()

    @property
    def is_found(self) -> bool:
        """Whether it was said, as far as the transcript tells."""
        return self.first is not None


@dataclass(frozen=True)
class AlignedStretch:
    """Words of the talk from `first` to before `stop`, and when they were said.

    `segment_id` is the segment they fell into; `of` the sentence they repeat, where they do.
    """

    first: int
    stop: int
    start_s: float
    end_s: float
    text: str
    segment_id: str | None
    of: SentenceMatch | None = None


@dataclass(frozen=True)
class Quality:
    """What the transcript is good for.

    `heard` is the share of the words said in the run that are the script's, 0 to 1. Nothing may be
    called "not heard" unless it `tells`.
    """

    verdict: Verdict
    heard: float
    why: str

    @property
    def tells(self) -> bool:
        """Whether what is missing from the transcript was really not said."""
        return self.verdict == "good"


@dataclass(frozen=True)
class Alignment:
    """A talk laid against its script.

    `boundaries` has one for each segment, in the plan's order; where segments were swapped their
    times are not in that order. `matched` has one for each sentence of the script. Times are in s
    from the start of the recording, all 0 where the transcript has none.
    """

    start_s: float
    finish_s: float
    boundaries: tuple[Boundary, ...]
    left_out: tuple[SentenceMatch, ...]
    improvised: tuple[AlignedStretch, ...]
    repeated: tuple[AlignedStretch, ...]
    swapped: tuple[SentenceMatch, ...]
    matched: tuple[SentenceMatch, ...]
    quality: Quality
    start_certain: Certain = "guess"
    finish_certain: Certain = "guess"
    start_why: str = ""
    finish_why: str = ""
    notes: tuple[str, ...] = ()
    """What else a person should know: "It breaks off in “Build”."."""
    lacks_beginning: bool = False
    lacks_end: bool = False
    """Whether only a part of a run is in it."""

    @property
    def skipped_ids(self) -> tuple[str, ...]:
        """The segments with words of which nothing was said."""
        found = {each.segment_id for each in self.matched if each.is_found}
        told = dict.fromkeys(each.segment_id for each in self.matched)
        return tuple(each for each in told if each not in found)
