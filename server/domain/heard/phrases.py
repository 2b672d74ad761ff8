"""A phrase of the script looked for in the talk: word for word, or as something like it."""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from server.domain.base.languages import supported
from server.domain.base.tokens import tokens_of
from server.domain.claims.said_numbers import is_cardinal
from server.domain.heard.alignment import Alignment, SentenceMatch
from server.domain.heard.plain_words import PlainWord, plain_heard, plain_words
from server.domain.heard.words import TimedWord, Transcript

AROUND = 4
"""Words beside a sentence that may be its own, misheard."""

LIKE = 0.6
"""Share of letters from which other words may be the phrase misheard."""

SENTENCE_LIKE = 0.42
"""The same for a whole sentence, where chance gives 0.25."""


@dataclass(frozen=True)
class PhrasePlace:
    """Words of the transcript from `first` to before `stop`, and how alike the phrase they are."""

    first: int
    stop: int
    likeness: float


@dataclass(frozen=True)
class Talk:
    """A transcript with what is known of its sentences, to be searched."""

    transcript: Transcript
    alignment: Alignment
    language: str

    @cached_property
    def words(self) -> list[PlainWord]:
        """The spoken words, with their places."""
        return plain_heard(self.transcript.words, self.language)

    @cached_property
    def places(self) -> list[int]:
        """The place of each spoken word."""
        return [each.place for each in self.words]

    @cached_property
    def matches(self) -> dict[tuple[str, int], SentenceMatch]:
        """(segment, sentence) -> how it was matched."""
        return {(each.segment_id, each.index): each for each in self.alignment.matched}

    @cached_property
    def owned(self) -> dict[int, SentenceMatch]:
        """The places between first and last word of each sentence found."""
        return {
            place: each
            for each in self.alignment.matched
            if each.first is not None and each.stop is not None
            for place in range(each.first, each.stop)
        }

    def stems(self, phrase: str) -> list[str]:
        """The spoken words of a phrase."""
        return [each.stem for each in plain_words(phrase, self.language)]

    def literal(self, stems: Sequence[str], first: int, stop: int) -> PhrasePlace | None:
        """Where between two places the words of a phrase stand one after another."""
        for at in self._within(first, stop):
            end = self._literal_end(stems, at, stop)
            if end is not None:
                return PhrasePlace(self.places[at], self.places[end - 1] + 1, 1.0)
        return None

    def _literal_end(self, stems: Sequence[str], at: int, stop: int) -> int | None:
        """The word behind a phrase that begins at word `at`; words may be joined or parted."""
        wanted, said = "".join(stems), ""
        for end in range(at, min(at + len(stems) + 2, len(self.words))):
            if self.places[end] >= stop:
                return None
            said += self.words[end].stem
            if said == wanted:
                return end + 1
            if not wanted.startswith(said):
                return None
        return None

    def like(
        self, stems: Sequence[str], first: int, stop: int, least: float = LIKE
    ) -> PhrasePlace | None:
        """The words between two places that are most like a phrase, where they are enough so."""
        from rapidfuzz.distance import Levenshtein

        wanted = "".join(stems)
        best: PhrasePlace | None = None
        inside = self._within(first, stop)
        for at in inside:
            for size in range(1, len(stems) + 3):
                end = at + size
                if end > inside.stop:
                    break
                said = "".join(each.stem for each in self.words[at:end])
                alike = float(Levenshtein.normalized_similarity(wanted, said))
                if alike >= least and (best is None or alike > best.likeness):
                    best = PhrasePlace(self.places[at], self.places[end - 1] + 1, alike)
        return best

    def _within(self, first: int, stop: int) -> range:
        return range(bisect_left(self.places, first), bisect_left(self.places, stop))

    def around(self, match: SentenceMatch) -> tuple[int, int]:
        """The places of a sentence found, and a few beside it that belong to no other."""
        assert match.first is not None  # noqa: S101
        assert match.stop is not None  # noqa: S101
        first, stop = match.first, match.stop
        for _ in range(AROUND):
            first -= first > 0 and first - 1 not in self.owned
            stop += stop < len(self.transcript.words) and stop not in self.owned
        return first, stop

    def window(self, match: SentenceMatch, start: int, end: int) -> tuple[int, int]:
        """The places where a phrase at these offsets of its sentence must stand, if it was said:
        between the nearest words found before and behind it.
        """
        words = plain_words(match.text, self.language)
        before = [place for at, place in match.pairs if words[at].end <= start]
        behind = [place for at, place in match.pairs if words[at].start >= end]
        first, stop = self.around(match)
        return (max(before) + 1 if before else first), (min(behind) if behind else stop)

    def missing(self, segment_id: str, index: int) -> tuple[int, int]:
        """The places in which a sentence that was not found could have been said: those between
        the sentences found before and behind it.
        """
        order = [(each.segment_id, each.index) for each in self.alignment.matched]
        at = order.index((segment_id, index))
        before = [each.stop for each in self.alignment.matched[:at] if each.stop is not None]
        behind = [each.first for each in self.alignment.matched[at + 1 :] if each.first is not None]
        first = before[-1] if before else 0
        stop = behind[0] if behind else len(self.transcript.words)
        return first, max(first, stop)

    def has_number(self, places: Sequence[int]) -> bool:
        """Whether one of these words is a number, or part of one."""
        return any(
            token.is_number or is_cardinal(token.norm, supported(self.language).code)
            for place in places
            for token in tokens_of(self.transcript.words[place].text)
        )

    def text(self, first: int, stop: int) -> str:
        """What was written down there."""
        return " ".join(word.text for word in self.transcript.words[first:stop])

    def clip(self, first: int, stop: int) -> tuple[float, float] | None:
        """From when to when these words are said; None without words or times."""
        words: Sequence[TimedWord] = self.transcript.words[first:stop]
        if not words or not self.transcript.timed:
            return None
        return words[0].start_s, max(word.end_s for word in words)
