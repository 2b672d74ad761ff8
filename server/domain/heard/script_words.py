"""The script as words and sentences, and the words of the talk, ready to be laid against it."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.tokens import sentences_of
from server.domain.heard.alignment import SpokenSegment
from server.domain.heard.plain_words import PlainWord, plain_heard, plain_words
from server.domain.heard.words import TimedWord, Transcript


@dataclass(frozen=True)
class ScriptSentence:
    """A sentence of a segment: its offsets in the text, its words `first` to `stop` of all."""

    segment: int
    index: int
    start: int
    end: int
    text: str
    first: int
    stop: int


@dataclass(frozen=True)
class Laid:
    """Script and talk as comparable words. `place` of a word of the talk is that in `timed`."""

    segments: tuple[SpokenSegment, ...]
    sentences: tuple[ScriptSentence, ...]
    script: tuple[PlainWord, ...]
    heard: tuple[PlainWord, ...]
    timed: tuple[TimedWord, ...]
    is_timed: bool

    def start_s(self, at: int) -> float:
        """When word `at` of the talk begins."""
        return self.timed[self.heard[at].place].start_s

    def end_s(self, at: int) -> float:
        """When word `at` of the talk ends."""
        return self.timed[self.heard[at].place].end_s

    def gap_s(self, at: int) -> float:
        """The pause before word `at` of the talk; 0 before the first."""
        return max(0.0, self.start_s(at) - self.end_s(at - 1)) if at > 0 else 0.0


def lay(transcript: Transcript, segments: Sequence[SpokenSegment], language: str) -> Laid:
    """Both as comparable words."""
    words: list[PlainWord] = []
    sentences: list[ScriptSentence] = []
    for number, segment in enumerate(segments):
        inside = plain_words(segment.text, language)
        at = 0
        for each in sentences_of(segment.text, language):
            first = len(words)
            while at < len(inside) and inside[at].start < each.end:
                words.append(inside[at])
                at += 1
            if len(words) > first:
                text = segment.text[each.start : each.end]
                sentences.append(
                    ScriptSentence(
                        number, each.index, each.start, each.end, text, first, len(words)
                    )
                )
    heard = plain_heard(transcript.words, language)
    return Laid(
        tuple(segments), tuple(sentences), tuple(words), tuple(heard),
        transcript.words, transcript.timed,
    )  # fmt: skip
