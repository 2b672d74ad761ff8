"""Where each segment begins: at its first words, or as a guess from its neighbours."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.heard.alignment import Boundary, Certain, SpokenSegment
from server.domain.heard.beginnings import (
    PAUSE_S,
    earliest_of,
    first_words,
    is_long_pause_before,
    may_begin_before,
)
from server.domain.heard.matching import WordPair
from server.domain.heard.pairing import Paired
from server.domain.heard.script_words import Laid

SNAP_S = 0.35
"""An onset of speech this near to a start is the start."""

LEAST_SPOKEN = 4
"""Words in a row that nobody understood; fewer are slips of the ear."""

NO_ROOM = 0.35
"""Of a segment's planned time: with less between its neighbours it was left out."""

WIDE_S = 2.0
"""A start that may as well lie so much earlier, or that much further on, is a guess."""


def boundaries(
    found: Paired, start_s: float, finish_s: float, onsets_s: Sequence[float]
) -> tuple[Boundary, ...]:
    """A boundary for each segment, in the plan's order."""
    laid = found.laid
    firsts = first_words(found)
    known: dict[int, Boundary] = {}
    for number, segment in enumerate(laid.segments):
        if number in firsts and laid.is_timed:
            at_s = snapped(laid.start_s(firsts[number]), onsets_s)
            at_s = start_s if number == 0 else at_s
            known[number] = Boundary(segment.id, at_s, *_sureness(found, number, firsts[number]))
    if laid.segments and 0 not in known:
        known[0] = Boundary(laid.segments[0].id, start_s, "likely", "The clock starts with it.")
    # Words whose times run backwards must not lead out of the run.
    return tuple(
        replace(each, start_s=min(max(each.start_s, start_s), finish_s))
        for each in _guessed(found, known, finish_s)
    )


def snapped(at_s: float, onsets_s: Sequence[float]) -> float:
    """The onset of speech next to a time; the time itself where none is near."""
    near = [onset for onset in onsets_s if abs(onset - at_s) <= SNAP_S]
    return min(near, key=lambda onset: abs(onset - at_s)) if near else at_s


def _sureness(found: Paired, segment: int, begin: int) -> tuple[Certain, str]:
    """How sure the start of a segment is whose words were found, at word `begin` of the talk."""
    laid = found.laid
    numbers = [n for n, each in enumerate(laid.sentences) if each.segment == segment]
    first = numbers[0]
    pairs = found.by_sentence.get(first)
    is_swapped = any(number in found.swapped for number in numbers)
    if may_begin_before(found, segment, begin):
        why = "What was said right before may be its own too: its time is a guess."
        return "guess", why
    if pairs and not is_swapped and not _is_parted(found, pairs):
        opening = pairs[0].script - laid.sentences[first].first
        if opening <= 2 and found.share(first, pairs) >= 0.6:
            return "sure", "Its first words were heard."
    missing = (
        "Only some of its first words were heard" if pairs else "Its first sentence was not found"
    )
    if _is_wide(found, segment, begin) or (pairs and _is_parted(found, pairs)):
        return "guess", f"{missing}, and words there were not understood: its time is a guess."
    if is_swapped:
        return "likely", "Said in another order than planned."
    return "likely", f"{missing}."


def _is_parted(found: Paired, pairs: Sequence[WordPair]) -> bool:
    """Whether the first word found stands far from the next one, with a pause between."""
    laid = found.laid
    if len(pairs) < 2:
        return False
    places = range(pairs[0].heard + 1, pairs[1].heard + 1)
    apart_s = laid.start_s(pairs[1].heard) - laid.start_s(pairs[0].heard)
    return apart_s > WIDE_S and any(is_long_pause_before(laid, at) for at in places)


def _is_wide(found: Paired, segment: int, begin: int) -> bool:
    """Whether a segment may begin more than WIDE_S before or behind word `begin` of the talk."""
    laid = found.laid
    number = min(n for n in found.by_sentence if laid.sentences[n].segment == segment)
    surest, earliest = found.by_sentence[number][0].heard, earliest_of(found, number)
    return (
        laid.start_s(surest) - laid.start_s(begin) > WIDE_S
        or laid.start_s(begin) - laid.start_s(min(earliest, begin)) > WIDE_S
    )


def _guessed(found: Paired, known: dict[int, Boundary], finish_s: float) -> list[Boundary]:
    """The known boundaries, and between them guesses by what the plan says."""
    segments = found.laid.segments
    result: list[Boundary] = []
    number = 0
    while number < len(segments):
        if number in known:
            result.append(known[number])
            number += 1
            continue
        stop = number
        while stop < len(segments) and stop not in known:
            stop += 1
        until_s = known[stop].start_s if stop in known else finish_s
        misheard = _misheard(found, range(number, stop), until_s)
        if misheard is not None:
            known[misheard[0]] = misheard[1]
            continue
        result += _spread(found, result[-1], segments[number:stop], number, until_s)
        number = stop
    return result


def _misheard(found: Paired, unknown: range, until_s: float) -> tuple[int, Boundary] | None:
    """The only one of these segments with words, where words were said that nobody understood.

    It begins with them: behind the pause that follows the last word found of the segment before.
    """
    laid = found.laid
    spoken = [number for number in unknown if laid.segments[number].text.strip()]
    if len(spoken) != 1 or not laid.is_timed or not found.by_sentence:
        return None
    behind_s = _last_word_s(found, unknown.start - 1)
    taken = found.taken()
    free = [
        at
        for at in range(len(laid.heard))
        if at not in taken and behind_s <= laid.start_s(at) and laid.end_s(at) <= until_s
    ]
    if not behind_s or len(free) < LEAST_SPOKEN:
        return None
    first = next((at for at in free[: -LEAST_SPOKEN + 1] if laid.gap_s(at) > PAUSE_S), free[0])
    why = "Words were said there that were not understood: its time is a guess."
    boundary = Boundary(laid.segments[spoken[0]].id, laid.start_s(first), "guess", why)
    return spoken[0], boundary


def _spread(
    found: Paired,
    before: Boundary,
    unknown: Sequence[SpokenSegment],
    number: int,
    until_s: float,
) -> list[Boundary]:
    """Guesses for a row of segments without words, between the last one known and `until_s`."""
    talked_s = max(_last_word_s(found, number - 1), before.start_s)
    from_s = min(talked_s, until_s) if until_s >= before.start_s else before.start_s
    until_s = max(until_s, from_s)
    room_s = until_s - from_s
    tail_s = max(0.0, found.laid.segments[number - 1].planned_s - (from_s - before.start_s))
    # A segment whose words nobody heard, and no time in which it could have been: left out.
    needs = [_needs_s(each, room_s) for each in unknown]
    whole_s = tail_s + sum(needs)
    scale = room_s / whole_s if whole_s > 0 else 0.0
    at_s = from_s + tail_s * scale
    guesses = []
    for segment, need_s in zip(unknown, needs, strict=True):
        words = "Nothing of it was heard" if segment.text.strip() else "Nothing is said in it"
        guesses.append(Boundary(segment.id, at_s, "guess", f"{words}: its time is a guess."))
        at_s += need_s * scale
    return guesses


def _needs_s(segment: SpokenSegment, room_s: float) -> float:
    if segment.text.strip() and room_s < NO_ROOM * segment.planned_s:
        return 0.0
    return segment.planned_s


def _last_word_s(found: Paired, segment: int) -> float:
    """When the last word found of a segment ends; 0 where there is none."""
    laid: Laid = found.laid
    ends = [
        laid.end_s(pairs[-1].heard)
        for number, pairs in found.by_sentence.items()
        if laid.sentences[number].segment == segment and pairs
    ]
    return max(ends, default=0.0)
