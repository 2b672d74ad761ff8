"""What was heard in each segment, as text in sentences: what claims can be found in.

Recognised talk has no full stops, and captions break anywhere. A sentence ends here where the
script ends one, where improvised talk begins or ends, and at a pause outside a known sentence.
"""

from bisect import bisect_right
from dataclasses import dataclass

from server.domain.claims.finds import Passage
from server.domain.heard.alignment import Alignment
from server.domain.heard.words import Transcript
from server.domain.routine.routine import Routine

SENTENCE_PAUSE_S = 0.6
"""Speakers pause so long between sentences more often than within one."""

ENDINGS = (".", "!", "?", "…", ":", ";")


@dataclass(frozen=True)
class HeardPassage:
    """The talk of a segment as text; `starts` are the offsets of its words, from word `first`."""

    passage: Passage
    starts: tuple[int, ...]
    places: tuple[int, ...]

    def words_of(self, start: int, end: int) -> tuple[int, int]:
        """The words of the transcript, first and stop, that a stretch of the text comes from."""
        first = max(bisect_right(self.starts, start) - 1, 0)
        last = max(bisect_right(self.starts, end - 1) - 1, first)
        return self.places[first], self.places[last] + 1


def heard_passages(
    routine: Routine, transcript: Transcript, alignment: Alignment
) -> tuple[HeardPassage, ...]:
    """The talk of each segment, in the plan's order; those without any are left out."""
    ends = _sentence_ends(transcript, alignment)
    owned = words_by_segment(alignment)
    found = []
    for segment in routine.segments:
        places = owned.get(segment.id, [])
        if not places:
            continue
        text, starts = "", []
        for number, place in enumerate(places):
            starts.append(len(text))
            text += transcript.words[place].text
            last = number + 1 == len(places)
            breaks = place in ends or (not last and places[number + 1] != place + 1)
            text += ("" if text.endswith(ENDINGS) else ".") + " " if breaks or last else " "
        passage = Passage(segment.id, text.rstrip(), segment.drink_id)
        found.append(HeardPassage(passage, tuple(starts), tuple(places)))
    return tuple(found)


def words_by_segment(alignment: Alignment) -> dict[str, list[int]]:
    """Segment id -> the places of its words: those of its sentences, and what follows each."""
    owner: dict[int, str] = {}
    for match in alignment.matched:
        if match.first is not None and match.stop is not None:
            for place in range(match.first, match.stop):
                owner[place] = match.segment_id
    for stretch in alignment.repeated:
        if stretch.of is not None:
            for place in range(stretch.first, stretch.stop):
                owner[place] = stretch.of.segment_id
    if not owner:
        return {}
    first, stop = min(owner), max(owner) + 1
    improvised = alignment.improvised
    stop = max([stop, *(each.stop for each in improvised)])
    grouped: dict[str, list[int]] = {}
    current = owner[first]
    for place in range(first, stop):
        current = owner.get(place, current)
        grouped.setdefault(current, []).append(place)
    return grouped


def _sentence_ends(transcript: Transcript, alignment: Alignment) -> set[int]:
    """The words behind which a sentence ends."""
    ends: set[int] = set()
    inside: set[int] = set()
    for match in alignment.matched:
        if match.first is not None and match.stop is not None:
            inside |= set(range(match.first, match.stop - 1))
            ends |= {match.first - 1, match.stop - 1}
    for stretch in (*alignment.improvised, *alignment.repeated):
        ends |= {stretch.first - 1, stretch.stop - 1}
    if transcript.timed:
        words = transcript.words
        ends |= {
            place
            for place in range(len(words) - 1)
            if place not in inside
            and words[place + 1].start_s - words[place].end_s >= SENTENCE_PAUSE_S
        }
    return ends - inside
