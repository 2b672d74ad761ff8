"""How long words take to say at a pace; how the pace is learnt stands in `belief.words_pace`.

A sentence ends with a pause of half a second (pauses of 0.2 to 1 s are the middle class of
Campione & Veronis, Speech Prosody 2002; from memory). Rates of speech are told with pauses in
them, so the words themselves are said a little faster: as much as makes a text of 15-word sentences
come out at the rate as told.

>>> pace = WordPace(145.0, 125.0, 168.0, segments=0, runs=0, note="")
>>> round(seconds_for(15, 1, pace), 2) == round(15 / 145 * 60, 2)
True
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from pydantic import ConfigDict

from server.domain.base.tokens import (
    Sentence,
    Token,
    by_sentence,
    count_spoken,
    sentences_of,
    tokens_of,
)

PAUSE_S = 0.5
SENTENCE_WORDS = 15.0
"""Words in a sentence at which rates are met as they are told."""


@dataclass(frozen=True)
class WordPace:
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
    assumed: float = 0.0
    """How much of it is still the published pace: 1 without runs, less with each (0 to 1)."""

    @property
    def slowest(self) -> "WordPace":
        """The same pace at the low end of its range."""
        return replace(self, words_per_minute=self.low_wpm)

    @property
    def fastest(self) -> "WordPace":
        """The same pace at the high end of its range."""
        return replace(self, words_per_minute=self.high_wpm)

    @property
    def word_s(self) -> float:
        """Seconds for a word without the pause at its sentence's end."""
        return max(60.0 / self.words_per_minute - PAUSE_S / SENTENCE_WORDS, 0.01)


@dataclass(frozen=True)
class Paces:
    """A presenter's pace, and their own of each segment whose talk was measured."""

    common: WordPace
    own: Mapping[str, WordPace] = field(default_factory=dict)

    def of(self, segment_id: str) -> WordPace:
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


def seconds_for(words: int, sentences: int, pace: WordPace) -> float:
    """Seconds to say so many words in so many sentences, with the pause behind each sentence."""
    return words * pace.word_s + sentences * PAUSE_S


@lru_cache(maxsize=256)
def costs(text: str, pace: WordPace, language: str = "en") -> tuple[SentenceCost, ...]:
    """What each sentence of a text costs in seconds, in order; the text costs their sum.

    Kept: a change in one segment asks again for those of all the others.
    """
    sentences = sentences_of(text, language)
    inside = by_sentence(tokens_of(text), sentences)
    return tuple(
        _cost(sentence, tokens, pace, language)
        for sentence, tokens in zip(sentences, inside, strict=True)
    )


def _cost(
    sentence: Sentence, tokens: Sequence[Token], pace: WordPace, language: str
) -> SentenceCost:
    words = count_spoken(tokens, language)
    return SentenceCost(
        sentence.index, sentence.start, sentence.end, words, seconds_for(words, 1, pace)
    )
