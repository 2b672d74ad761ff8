"""How long a script takes to say: the presenter's own pace, learnt from runs.

Until there are runs the pace is a published one. Public talk to an audience runs at 125 to 160
words a minute (Tauroza & Allison, Applied Linguistics 11(1), 1990, lectures: "average" band, as
cited in public notes), 145 to 155 in other counts of lectures; popular talks 133 to 188, mean 163.
So the prior is 145 words a minute, pauses included, with a spread between people of 15 percent
(one standard deviation, which spans 125 to 168). These figures are for English; for other
languages they are a first guess too.

A sentence ends with a pause of half a second (pauses of 0.2 to 1 s are the middle class of
Campione & Veronis, Speech Prosody 2002; from memory). The published rates have pauses in them, so
the words themselves are said a little faster: as much as makes a text of 15-word sentences come
out at the rate as published.

>>> pace = learn_pace([])
>>> round(pace.words_per_minute), pace.runs
(145, 0)
>>> round(seconds_for(15, 1, pace), 2) == round(15 / 145 * 60, 2)
True
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import median

from pydantic import ConfigDict

from server.domain.base.words import (
    Sentence,
    Token,
    by_sentence,
    count_spoken,
    sentences_of,
    tokens_of,
)
from server.domain.routine.routine import Lane

PRIOR_WPM = 145.0
PRIOR_SD = 0.15
"""Spread of pace between people, as a ratio (standard deviation of its logarithm)."""

PAUSE_S = 0.5
SENTENCE_WORDS = 15.0
"""Words in a sentence at which the published rates are met."""

SEGMENT_SD = 0.10
"""How far one segment's pace lies from a person's own: names, lists, a joke. Our choice."""

RUN_SD = 0.07
"""How far the same segment's pace lies apart from run to run. Our choice."""

BOTH_SD = 0.30
"""The same for segments in which the hands also work, and may set the pace. Our choice."""

FILLED = 0.7
"""Words that at the usual pace take this part of a segment set its time; with fewer the hands do.
Two standard deviations of pace between people (PRIOR_SD). Our choice."""

FEWEST_WORDS = 8
"""A segment with fewer words tells little about pace."""

SLOWEST_WPM, FASTEST_WPM = 50.0, 320.0
"""A split outside these is not talk: a slip of the clock, or a long silence. Our choice."""


@dataclass(frozen=True)
class SpokenSplit:
    """What a run tells about pace: a segment's text as it was then, and how long it took.

    `words` and `sentences` are those of the text (see `measure`); `split_s` is the time taken.
    """

    segment_id: str
    words: int
    sentences: int
    split_s: float
    lane: Lane = "voice"


@dataclass(frozen=True)
class Pace:
    """Words a minute with pauses, and how sure that is.

    `low_wpm` and `high_wpm` hold the pace with about 95 % (two standard deviations). `runs` is the
    largest number of runs of one segment that it rests on. `note` says what to make of it.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    words_per_minute: float
    low_wpm: float
    high_wpm: float
    segments: int
    runs: int
    note: str

    @property
    def assumed(self) -> float:
        """How much of it is still the published pace: 1 without runs, less with each (0 to 1).

        The prior's weight among all: the square of the spread that is left over the prior's.
        """
        left = math.log(self.high_wpm / self.low_wpm) / 4
        return min(1.0, (left / PRIOR_SD) ** 2)

    @property
    def slowest(self) -> "Pace":
        """The same pace at the low end of its range."""
        return replace(self, words_per_minute=self.low_wpm)

    @property
    def fastest(self) -> "Pace":
        """The same pace at the high end of its range."""
        return replace(self, words_per_minute=self.high_wpm)

    @property
    def word_s(self) -> float:
        """Seconds for a word without the pause at its sentence's end."""
        return max(60.0 / self.words_per_minute - PAUSE_S / SENTENCE_WORDS, 0.01)


@dataclass(frozen=True)
class Paces:
    """A presenter's pace, and their own of each segment whose talk was measured."""

    common: Pace
    own: Mapping[str, Pace] = field(default_factory=dict)

    def of(self, segment_id: str) -> Pace:
        """The pace of a segment: as it was measured there, the common one elsewhere."""
        return self.own.get(segment_id, self.common)


@dataclass(frozen=True)
class SentenceCost:
    """A sentence of a text, where it stands, and what it costs."""

    index: int
    start: int
    end: int
    words: int
    seconds: float


def measure(text: str, language: str = "en") -> tuple[int, int]:
    """How many words and sentences a text has when it is said."""
    return count_spoken(tokens_of(text), language), len(sentences_of(text, language))


def seconds_for(words: int, sentences: int, pace: Pace) -> float:
    """Seconds to say so many words in so many sentences, with the pause behind each sentence."""
    return words * pace.word_s + sentences * PAUSE_S


def costs(text: str, pace: Pace, language: str = "en") -> tuple[SentenceCost, ...]:
    """What each sentence of a text costs in seconds, in order; the text costs their sum."""
    sentences = sentences_of(text, language)
    inside = by_sentence(tokens_of(text), sentences)
    return tuple(
        _cost(sentence, tokens, pace, language)
        for sentence, tokens in zip(sentences, inside, strict=True)
    )


def _cost(sentence: Sentence, tokens: Sequence[Token], pace: Pace, language: str) -> SentenceCost:
    words = count_spoken(tokens, language)
    return SentenceCost(
        sentence.index, sentence.start, sentence.end, words, seconds_for(words, 1, pace)
    )


def learn_pace(splits: Iterable[SpokenSplit]) -> Pace:
    """The pace that runs show, drawn towards the published one while they are few.

    Each segment gives the mean of its runs. It weighs by its precision, one over the variance of
    what differs between segments and between runs; the prior weighs likewise (a normal prior on
    the logarithm of the pace). Segments in which only the voice works count fully; the others are
    used only where there are none, and only where their words fill them at the published pace:
    elsewhere the hands set the time, which says nothing of the pace.
    """
    usable = [split for split in splits if _is_talk(split)]
    voice = [split for split in usable if split.lane == "voice"]
    taken = voice or [split for split in usable if _fills(split, PRIOR_WPM)]
    by_segment: dict[str, list[float]] = {}
    for split in taken:
        by_segment.setdefault(split.segment_id, []).append(_log_wpm(split))
    segment_sd = SEGMENT_SD if voice else BOTH_SD
    weights, weighted = 1 / PRIOR_SD**2, math.log(PRIOR_WPM) / PRIOR_SD**2
    for logs in by_segment.values():
        weight = 1 / (segment_sd**2 + RUN_SD**2 / len(logs))
        weights += weight
        weighted += weight * sum(logs) / len(logs)
    mean, sd = weighted / weights, math.sqrt(1 / weights)
    return Pace(
        words_per_minute=math.exp(mean),
        low_wpm=math.exp(mean - 2 * sd),
        high_wpm=math.exp(mean + 2 * sd),
        segments=len(by_segment),
        runs=max((len(logs) for logs in by_segment.values()), default=0),
        note=_note(len(by_segment), bool(voice)),
    )


def learn_paces(splits: Iterable[SpokenSplit]) -> Paces:
    """The pace that runs show, and for each segment whose talk was measured that of its own.

    A segment's own is the median of its runs, each by the text as it was then. In a segment where
    the hands work too a run counts only where its words fill the time: where they would take longer
    than was measured, or nearly as long.
    """
    usable = [split for split in splits if _is_talk(split)]
    common = learn_pace(usable)
    logs: dict[str, list[float]] = {}
    for split in usable:
        if split.lane == "voice" or _fills(split, common.words_per_minute):
            logs.setdefault(split.segment_id, []).append(_log_wpm(split))
    return Paces(common, {each: _own(found) for each, found in logs.items()})


def _own(logs: Sequence[float]) -> Pace:
    middle, sd = median(logs), RUN_SD / math.sqrt(len(logs))
    low_wpm, high_wpm = math.exp(middle - 2 * sd), math.exp(middle + 2 * sd)
    return Pace(math.exp(middle), low_wpm, high_wpm, segments=1, runs=len(logs), note="")


def _fills(split: SpokenSplit, wpm: float) -> bool:
    """Whether the words of a split take about as long as the split, or longer, at this pace."""
    return math.exp(_log_wpm(split)) >= FILLED * wpm


def _is_talk(split: SpokenSplit) -> bool:
    if split.words < FEWEST_WORDS or split.split_s <= 0 or split.lane == "hands":
        return False
    return SLOWEST_WPM <= split.words / split.split_s * 60 <= FASTEST_WPM


def _log_wpm(split: SpokenSplit) -> float:
    """The logarithm of the words a minute that this split would be in 15-word sentences."""
    spoken_s = max(split.split_s - split.sentences * PAUSE_S, 0.2 * split.split_s)
    word_s = spoken_s / split.words + PAUSE_S / SENTENCE_WORDS
    return math.log(60.0 / word_s)


def _note(segments: int, from_voice: bool) -> str:
    if segments == 0:
        return (
            "No run has measured your pace yet: this is that of public talks, 145 words a minute."
        )
    if not from_voice:
        return "From segments in which the hands work too; talk alone may be faster."
    return ""
