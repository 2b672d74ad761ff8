"""The word of the talk that the script ends with, also where its last words were misheard."""

from server.domain.heard.beginnings import (
    BEHIND_PAUSE,
    LIKE_OPENING,
    LONGEST_OPENING,
    PAUSE_S,
    SPARE_WORDS,
    sounds_like,
)
from server.domain.heard.pairing import Paired

LEAST_LIKE = 0.4
"""How alike the script they must be, however well they end."""

LONGEST_STOP_S = 3.0
"""Behind a longer pause than this no end is looked for by its sound."""

LEAST_LETTERS = 8
"""Fewer letters are like too much by chance."""


def last_sentence(found: Paired) -> int:
    """The sentence of those found that was said last."""
    return max(found.by_sentence, key=lambda number: found.by_sentence[number][-1].heard)


def stop_of(found: Paired) -> tuple[int, int]:
    """The word of the talk behind the last one of the script, and the sentence it is of.

    The end of the sentence found last may have been misheard, and those behind it altogether:
    words behind its last pair are taken with it as far as they are as many and sound like them.
    """
    laid = found.laid
    number = last_sentence(found)
    stop = best = found.by_sentence[number][-1].heard + 1
    tails = _tails(found, number)
    most = max((len(tail) for tail, _ in tails), default=0)
    best_score, reached = LIKE_OPENING, number
    for end in range(stop + 1, min(stop + most + SPARE_WORDS, len(laid.heard)) + 1):
        if laid.is_timed and laid.gap_s(end - 1) > LONGEST_STOP_S:
            break
        said = [each.stem for each in laid.heard[stop:end]]
        score, upto = max(
            ((sounds_like(tail, said), upto) for tail, upto in tails), default=(0.0, number)
        )
        is_paused = end == len(laid.heard) or (laid.is_timed and laid.gap_s(end) > PAUSE_S)
        if score < LEAST_LIKE or len("".join(said)) < LEAST_LETTERS:
            continue
        score += BEHIND_PAUSE if is_paused else 0.0
        if score > best_score:
            best, best_score, reached = end, score, upto
    return best, reached


def _tails(found: Paired, number: int) -> list[tuple[list[str], int]]:
    """What may have been misheard behind the last pair of a sentence, and the sentence it ends:
    its own last words, and the sentences behind it, which were not found, from any to any.
    """
    laid = found.laid
    own = laid.script[found.by_sentence[number][-1].script + 1 : laid.sentences[number].stop]
    begin = laid.sentences[number].stop
    tails = [([each.stem for each in own], number)]
    for end in range(number + 1, len(laid.sentences)):
        stop = laid.sentences[end].stop
        if end in found.by_sentence or stop - begin > LONGEST_OPENING:
            break
        for first in range(number + 1, end + 1):
            words = laid.script[laid.sentences[first].first : stop]
            tails.append(([each.stem for each in (*own, *words)], end))
    return [(tail, upto) for tail, upto in tails if tail]
