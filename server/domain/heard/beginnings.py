"""The word of the talk that a segment begins with, also where its first words were misheard."""

from collections.abc import Sequence
from itertools import takewhile

from server.domain.heard.matching import WordPair
from server.domain.heard.pairing import LONGEST_SLIP, Paired
from server.domain.heard.script_words import Laid
from server.domain.heard.strays import PHRASE_S

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

AS_MANY, IN_FULL = (0.65, 1.4), 0.12
"""Words behind a long pause, to those that are missing, that may be these; and what that adds."""

LEAST_MISSED, LONGEST_MISSED, LIKE_MISSED = 4, 20, 0.42
"""Words in a row, and how alike a sentence they must be, to have been it perhaps."""

PAUSE_S = 0.35
"""A silence from here on parts two sentences more likely than two words."""


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
    limit = earliest_of(found, number)
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
        score = max((sounds_like(head, said) for head in heads), default=0.0)
        score += _behind_pause(laid, at)
        if is_long_pause_before(laid, at) and any(_are_as_many(head, said) for head in heads):
            score += IN_FULL
        if score > best_score:
            best, best_score = at, score
    return best


def earliest_of(found: Paired, number: int) -> int:
    """The first word of the talk that may belong to a found sentence: no other is found there."""
    first = found.by_sentence[number][0].heard
    return max(
        (pairs[-1].heard + 1 for pairs in _others(found, number) if pairs[-1].heard < first),
        default=0,
    )


def may_begin_before(found: Paired, segment: int, begin: int) -> bool:
    """Whether words that belong to nothing, right before word `begin`, sound like a sentence of
    this segment that was not found, or like its first one, begun and begun again.
    """
    return _is_missed(found, segment, begin, -1)


def may_end_behind(found: Paired, segment: int, stop: int) -> bool:
    """The same of the words from word `stop` on."""
    return _is_missed(found, segment, stop, 1)


def _is_missed(found: Paired, segment: int, at: int, way: int) -> bool:
    laid, taken = found.laid, found.taken()
    numbers = [n for n, each in enumerate(laid.sentences) if each.segment == segment]
    places = range(at - 1, -1, -1) if way < 0 else range(at, len(laid.heard))
    free = sorted(takewhile(lambda each: each not in taken, places[:LONGEST_MISSED]))
    for number in numbers:
        # What was found is not missing; only the first may have been begun before, and broken off.
        may_be_begun_again = number == numbers[0] and way < 0
        if number in found.by_sentence and not may_be_begun_again:
            continue
        sentence = laid.sentences[number]
        wanted = [each.stem for each in laid.script[sentence.first : sentence.stop]]
        nearest = free[-len(wanted) :] if way < 0 else free[: len(wanted)]
        phrases = [
            free[begin : begin + len(wanted)]
            for begin in range(len(free))
            if laid.is_timed and laid.gap_s(free[begin]) > PAUSE_S
        ]
        if any(
            len(places) >= LEAST_MISSED
            and sounds_like(wanted, [laid.heard[each].stem for each in places]) >= LIKE_MISSED
            for places in [nearest, *phrases]
        ):
            return True
    return False


def is_long_pause_before(laid: Laid, at: int) -> bool:
    """Whether word `at` of the talk stands behind a pause as between two segments."""
    return laid.is_timed and laid.gap_s(at) > LONG_S


def _are_as_many(head: Sequence[str], said: Sequence[str]) -> bool:
    """Whether about so many words were said as are missing of the script."""
    return AS_MANY[0] <= len(said) / len(head) <= AS_MANY[1]


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


def sounds_like(script: Sequence[str], heard: Sequence[str]) -> float:
    """How alike two rows of words are as letters, wherever their words end."""
    from rapidfuzz.distance import Levenshtein

    if not script:
        return 0.0
    return float(Levenshtein.normalized_similarity("".join(script), "".join(heard)))
