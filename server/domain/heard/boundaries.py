"""Where each segment begins: at its first words, or as a guess from its neighbours."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.heard.alignment import Boundary, Certain, SpokenSegment
from server.domain.heard.matching import WordPair
from server.domain.heard.pairing import LONGEST_SLIP, PHRASE_S, Paired
from server.domain.heard.script_words import Laid

SNAP_S = 0.35
"""An onset of speech this near to a start is the start."""

LIKE_OPENING = 0.5
"""How alike the script the misheard words of an opening must be, by letters: chance gives 0.25."""

LONGEST_OPENING = 40
"""Words of the script that are held against what was said before the first pair."""

SPARE_WORDS = 2
"""Misheard words may be more than those of the script by so many."""

JOIN_S = 1.3
"""No sentence of a segment is parted from the next by a longer pause, where it was misheard."""

LONG_S = 0.9
BEHIND_PAUSE, BEHIND_JOIN = 0.15, 0.2
"""What a pause before words adds to their likeness, and a long one."""

PAUSE_S = 0.35
"""A silence from here on parts two sentences more likely than two words."""

LEAST_SPOKEN = 4
"""Words in a row that nobody understood; fewer are slips of the ear."""

NO_ROOM = 0.35
"""Of a segment's planned time: with less between its neighbours it was left out."""


def first_words(found: Paired) -> dict[int, int]:
    """For each segment with words found the word of the talk that it begins with."""
    laid = found.laid
    firsts: dict[int, int] = {}
    for number in sorted(found.by_sentence):
        segment = laid.sentences[number].segment
        at = begin_of(found, number)
        firsts[segment] = min(firsts.get(segment, at), at)
    for number, pairs in found.twice:
        segment = laid.sentences[number].segment
        # Begun twice: it began the first time, where nothing else was said between.
        if segment in firsts and _is_just_before(found, pairs[-1].heard, firsts[segment]):
            firsts[segment] = pairs[0].heard
    return firsts


def _is_just_before(found: Paired, last: int, first: int) -> bool:
    between = range(last + 1, first)
    owned = {pair.heard for pairs in found.by_sentence.values() for pair in pairs}
    return last < first and len(between) <= LONGEST_SLIP and owned.isdisjoint(between)


def begin_of(found: Paired, number: int) -> int:
    """The word of the talk that a found sentence begins with.

    Its first words may have been misheard, and sentences of its segment before it altogether:
    words before its first pair are taken with it as far as they are as many, sound like them, and
    no longer pause or other sentence stands between. Behind one long pause only a phrase is.
    """
    laid = found.laid
    first = found.by_sentence[number][0]
    heads = _heads(found, number, first.script)
    most = max((len(head) for head in heads), default=0)
    limit = max(
        (pairs[-1].heard + 1 for pairs in _others(found, number) if pairs[-1].heard < first.heard),
        default=0,
    )
    at = best = first.heard
    best_score, longest_s = LIKE_OPENING, JOIN_S
    while at > limit and first.heard - at < most + SPARE_WORDS:
        gap_s = laid.gap_s(at) if laid.is_timed else 0.0
        if gap_s > longest_s and at < first.heard:
            break
        longest_s = PHRASE_S if gap_s > longest_s else longest_s
        at -= 1
        # Behind a long pause only a whole phrase counts, not the tail of one.
        if longest_s == PHRASE_S and at > 0 and laid.gap_s(at) <= PHRASE_S:
            continue
        said = [each.stem for each in laid.heard[at : first.heard]]
        score = max((_sounds(head, said) for head in heads), default=0.0)
        score += _behind_pause(laid, at)
        if score > best_score:
            best, best_score = at, score
    return best


def _behind_pause(laid: Laid, at: int) -> float:
    """What the pause before a word adds to its being a beginning."""
    gap_s = laid.gap_s(at) if laid.is_timed else 0.0
    return BEHIND_JOIN if gap_s > LONG_S else BEHIND_PAUSE if gap_s > PAUSE_S else 0.0


def _heads(found: Paired, number: int, until: int) -> list[list[str]]:
    """What may have been misheard before word `until` of the script, the first pair of a found
    sentence: its own first words, and those of the sentences of its segment before it which were
    not found, from each of them to each.
    """
    sentences = found.laid.sentences
    own = found.laid.script[sentences[number].first : until]
    first = number
    while (
        first > 0
        and first - 1 not in found.by_sentence
        and sentences[first - 1].segment == sentences[number].segment
        and sentences[number].stop - sentences[first - 1].first <= LONGEST_OPENING
    ):
        first -= 1
    heads = [[each.stem for each in own]]
    for begin in range(first, number):
        for end in range(begin, number):
            words = found.laid.script[sentences[begin].first : sentences[end].stop]
            heads.append([each.stem for each in (*words, *own)])
    return [head for head in heads if head]


def _others(found: Paired, number: int) -> list[list[WordPair]]:
    return [pairs for other, pairs in found.by_sentence.items() if other != number and pairs] + [
        pairs for _, pairs in found.twice if pairs
    ]


def _sounds(script: Sequence[str], heard: Sequence[str]) -> float:
    """How alike two rows of words are as letters, wherever their words end."""
    from rapidfuzz.distance import Levenshtein

    if not script:
        return 0.0
    return float(Levenshtein.normalized_similarity("".join(script), "".join(heard)))


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
            known[number] = Boundary(segment.id, at_s, *_sureness(found, number))
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


def _sureness(found: Paired, segment: int) -> tuple[Certain, str]:
    """How sure the start of a segment is whose words were found."""
    laid = found.laid
    numbers = [n for n, each in enumerate(laid.sentences) if each.segment == segment]
    first = numbers[0]
    if any(number in found.swapped for number in numbers):
        return "likely", "Said in another order than planned."
    if first not in found.by_sentence:
        return "likely", "Its first sentence was not found."
    pairs = found.by_sentence[first]
    opening = pairs[0].script - laid.sentences[first].first
    if opening <= 2 and found.share(first, pairs) >= 0.6:
        return "sure", "Its first words were heard."
    return "likely", "Only some of its first words were heard."


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
