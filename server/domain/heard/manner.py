"""How a talk was said: its pace, its pauses, the words that fill them, and what was left out."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from server.domain.claims.pace import Paces, measure
from server.domain.heard.alignment import Alignment, SentenceMatch, spoken_segments
from server.domain.heard.passages import words_by_segment
from server.domain.heard.plain_words import plain_heard, plain_words
from server.domain.heard.words import TimedWord, Transcript
from server.domain.routine.routine import Routine

LONG_PAUSE_S = 2.0
"""A pause that listeners notice."""

LEAST_WORDS = 8
"""Of a segment: fewer tell no pace."""

FILLERS: Mapping[str, tuple[str, ...]] = {
    "en": ("um", "uh", "er", "erm", "uhm", "hmm", "you know", "i mean", "sort of", "kind of",
           "basically", "actually", "like"),
    "de": ("äh", "ähm", "öhm", "hm", "sozusagen", "quasi", "halt"),
    "es": ("eh", "em", "este", "o sea", "bueno", "pues"),
    "fr": ("euh", "heu", "hum", "en fait", "du coup", "voilà"),
    "it": ("ehm", "eh", "mmm", "cioè", "praticamente", "allora"),
    "pt": ("hum", "eh", "né", "tipo", "então", "pronto"),
}  # fmt: skip
"""Words that fill pauses, by language; counted only where the script does not have them."""


@dataclass(frozen=True)
class Pause:
    """A silence within the run, in s of the recording, and what the hands were to do then."""

    start_s: float
    end_s: float
    segment_id: str | None
    hands: str

    @property
    def length_s(self) -> float:
        """How long it lasted."""
        return self.end_s - self.start_s


@dataclass(frozen=True)
class SegmentManner:
    """How a segment was said. Words a minute leave out pauses over LONG_PAUSE_S; None where too
    little was said, or where there is no plan or habit to lay beside.
    """

    segment_id: str
    name: str
    words: int
    wpm: float | None
    planned_wpm: float | None
    habit_wpm: float | None
    fillers: int
    left_out: int


@dataclass(frozen=True)
class Manner:
    """How the whole was said: by segment, long pauses, fillers and how often, what is missing."""

    segments: tuple[SegmentManner, ...]
    wpm: float | None
    pauses: tuple[Pause, ...]
    fillers: tuple[tuple[str, int], ...]
    left_out: tuple[SentenceMatch, ...]


def manner_of(
    routine: Routine, transcript: Transcript, alignment: Alignment, paces: Paces | None = None
) -> Manner:
    """How the talk was said; `paces` are the presenter's own, where runs have shown them."""
    owned = words_by_segment(alignment)
    planned_s = {each.id: each.planned_s for each in spoken_segments(routine)}
    fillers = {
        each.id: _fillers(each.said, transcript, owned.get(each.id, []), routine.language)
        for each in routine.segments
    }
    segments = tuple(
        SegmentManner(
            segment_id=each.id,
            name=each.name,
            words=len(owned.get(each.id, [])),
            wpm=_wpm(transcript, owned.get(each.id, []), routine.language),
            planned_wpm=_planned_wpm(each.said, planned_s[each.id], routine.language),
            habit_wpm=_habit_wpm(paces, each.id),
            fillers=fillers[each.id].total(),
            left_out=sum(match.segment_id == each.id for match in alignment.left_out),
        )
        for each in routine.segments
    )
    everything = [place for places in owned.values() for place in places]
    return Manner(
        segments,
        _wpm(transcript, sorted(everything), routine.language),
        _pauses(routine, transcript, alignment),
        tuple(sum(fillers.values(), Counter()).most_common()),
        alignment.left_out,
    )


def most_left_out(
    runs: Sequence[Sequence[SentenceMatch]],
) -> tuple[tuple[SentenceMatch, int, int], ...]:
    """Of several runs' sentences (`Alignment.matched`, oldest first) those that were left out:
    (the sentence, in how many runs, of how many), the most often first.
    """
    told: Counter[tuple[str, str]] = Counter()
    missing: Counter[tuple[str, str]] = Counter()
    latest: dict[tuple[str, str], SentenceMatch] = {}
    for run in runs:
        for match in run:
            key = match.segment_id, match.text
            told[key] += 1
            latest[key] = match
            missing[key] += not match.is_found
    rows = [(latest[key], count, told[key]) for key, count in missing.items() if count]
    return tuple(sorted(rows, key=lambda row: (-row[1] / row[2], -row[1], row[0].text)))


def _wpm(transcript: Transcript, places: Sequence[int], language: str) -> float | None:
    """Words a minute of the words at these places, without the long pauses between them."""
    if not transcript.timed or len(places) < LEAST_WORDS:
        return None
    words = [transcript.words[place] for place in places]
    talked_s = sum(word.end_s - word.start_s for word in words)
    for one, other in pairwise(words):
        gap_s = other.start_s - one.end_s
        talked_s += gap_s if 0 < gap_s <= LONG_PAUSE_S else 0.0
    count = len(plain_heard(words, language))
    return count / talked_s * 60 if talked_s > 0 else None


def _planned_wpm(said: str, planned_s: float, language: str) -> float | None:
    words, _ = measure(said, language)
    return words / planned_s * 60 if words >= LEAST_WORDS and planned_s > 0 else None


def _habit_wpm(paces: Paces | None, segment_id: str) -> float | None:
    if paces is None or not paces.of(segment_id).runs:
        return None
    return paces.of(segment_id).words_per_minute


def _pauses(routine: Routine, transcript: Transcript, alignment: Alignment) -> tuple[Pause, ...]:
    """The long pauses between start and finish."""
    if not transcript.timed:
        return ()
    hands = {each.id: each.hands for each in routine.segments}
    starts = sorted((each.start_s, each.segment_id) for each in alignment.boundaries)
    inside = [
        word
        for word in transcript.words
        if alignment.start_s <= word.end_s and word.start_s <= alignment.finish_s
    ]
    edge = TimedWord("", alignment.start_s, alignment.start_s)
    found = []
    for one, other in zip([edge, *inside], inside, strict=False):
        if other.start_s - one.end_s > LONG_PAUSE_S:
            before = [segment_id for at_s, segment_id in starts if at_s <= one.end_s + 0.01]
            segment_id = before[-1] if before else None
            found.append(
                Pause(one.end_s, other.start_s, segment_id, hands.get(segment_id or "", ""))
            )
    return tuple(found)


def _fillers(
    said: str, transcript: Transcript, places: Sequence[int], language: str
) -> Counter[str]:
    """How often each filler was said beyond what the script has of it."""
    heard = [each.stem for each in plain_heard([transcript.words[at] for at in places], language)]
    script = [each.stem for each in plain_words(said, language)]
    counts: Counter[str] = Counter()
    for filler in FILLERS.get(language, ()):
        phrase = [each.stem for each in plain_words(filler, language)]
        more = _times(phrase, heard) - _times(phrase, script)
        if more > 0:
            counts[filler] = more
    return counts


def _times(phrase: Sequence[str], words: Sequence[str]) -> int:
    size = len(phrase)
    return sum(list(words[at : at + size]) == list(phrase) for at in range(len(words) - size + 1))
