"""Words of a sentence that stand where it was not said: alone, far off, behind a long pause."""

from collections.abc import Sequence

from server.domain.heard.matching import SHORT_WORD, WordPair
from server.domain.heard.script_words import Laid

TORN_WORDS = 6
"""More words than these within a sentence are hardly a slip of the ear, nor a remark."""

PHRASE_S = 0.6
"""Within a phrase no pause is so long."""

LIGHT_APART = 3
"""The same behind a short word."""

AROUND_WORDS = 6
OPENING_LIKE = 0.6
"""Words before a lone one that are looked at, and how alike the script they must be."""

LOOSE_S = 2.0
"""A pause longer than this cuts what stands before it off from its sentence."""


def without_strays(laid: Laid, pairs: list[WordPair]) -> list[WordPair]:
    """Pairs without a lone word before a long pause: the sentence begins behind it.

    So too a lone word behind one, unless it follows on. A pause within a sentence is kept where
    words stand on either side of it, misheard ones as well.
    """
    pairs = _without_torn_ends(pairs)
    while len(pairs) > 1 and _is_light_and_apart(laid, *pairs[:2]):
        pairs = pairs[1:]
    if not laid.is_timed:
        return pairs
    while (
        len(pairs) > 1
        and _pause_s(laid, pairs[0], pairs[1]) > LOOSE_S
        and not _is_opening(laid, pairs)
    ):
        pairs = pairs[1:]
    while (
        len(pairs) > 2
        and pairs[-2].heard + 1 < pairs[-1].heard
        and _pause_s(laid, pairs[-2], pairs[-1]) > LOOSE_S
    ):
        pairs = pairs[:-1]
    return pairs


def _without_torn_ends(pairs: list[WordPair]) -> list[WordPair]:
    """Pairs without one or two at either end that many words of something else stand behind."""
    for size in (2, 1):
        if len(pairs) >= 3 * size and hole_words(pairs[size - 1], pairs[size]) > TORN_WORDS:
            pairs = pairs[size:]
        if len(pairs) >= 3 * size and hole_words(pairs[-size - 1], pairs[-size]) > TORN_WORDS:
            pairs = pairs[:-size]
    return pairs


def _is_light_and_apart(laid: Laid, one: WordPair, other: WordPair) -> bool:
    """Whether the first word found is a short one, such as anybody says, with others behind it."""
    is_light = len(laid.script[one.script].stem) <= SHORT_WORD
    return is_light and hole_words(one, other) > LIGHT_APART


def hole_words(one: WordPair, other: WordPair) -> int:
    """How many more words were said between two pairs than the script has there."""
    return (other.heard - one.heard) - (other.script - one.script)


def _is_opening(laid: Laid, pairs: Sequence[WordPair]) -> bool:
    """Whether the words around a lone first pair sound like the opening of its sentence."""
    from rapidfuzz.distance import Levenshtein

    sentence = next(each for each in laid.sentences if each.stop > pairs[0].script)
    if pairs[1].script - sentence.first < 2:
        return False  # Of it there is the lone word alone.
    at, stop = pairs[0].heard, pairs[0].heard + 1
    while at > 0 and laid.gap_s(at) < PHRASE_S and pairs[0].heard - at < AROUND_WORDS:
        at -= 1
    while stop < pairs[1].heard and laid.gap_s(stop) < PHRASE_S:
        stop += 1
    opening = "".join(each.stem for each in laid.script[sentence.first : pairs[1].script])
    return any(
        Levenshtein.normalized_similarity(
            opening, "".join(each.stem for each in laid.heard[begin:stop])
        )
        >= OPENING_LIKE
        for begin in range(at, pairs[0].heard + 1)
        if stop - begin > 1
    )


def _pause_s(laid: Laid, one: WordPair, other: WordPair) -> float:
    """The longest pause between two words of the talk."""
    return max((laid.gap_s(at) for at in range(one.heard + 1, other.heard + 1)), default=0.0)
