"""Where the clock began and ended: the presenter's own words for it, or the first and last of the
script. A host before and after belongs to neither.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from server.domain.heard.alignment import Certain
from server.domain.heard.beginnings import PAUSE_S, may_begin_before, may_end_behind
from server.domain.heard.endings import last_sentence, stop_of
from server.domain.heard.pairing import Paired
from server.domain.heard.plain_words import plain_words
from server.domain.heard.script_words import Laid
from server.domain.heard.strays import PHRASE_S, TORN_WORDS, hole_words

CALL_BEFORE_S = 20.0
"""A call for time at most so long before the first words of the script starts the clock."""

CALL_AFTER_S = 30.0
"""One so long behind the last words ends it."""

STARTS = (
    "time starts now", "my time starts", "time please", "start the clock", "start my time",
    "starting my time", "starting time", "i start", "i am starting", "im starting", "lets begin",
    "i begin", "time starts", "the clock starts", "we start", "time",
)  # fmt: skip
"""What presenters say to start the clock, the longer first. Generic words of every stage."""

ENDS = (
    "that is my time", "thats my time", "time please", "stop the clock", "stop my time",
    "i am finished", "im finished", "i have finished", "ive finished", "i am done", "im done",
    "i finish", "my time is up", "time",
)  # fmt: skip
"""What they say to stop it."""


CALL_LIKE, LEAST_LETTERS = 0.7, 8
"""How alike a call by its letters what was misheard of it is; shorter calls are like too much."""

LONGEST_CALL = 6
"""Words said alone right before the script may be a call, and as many right behind it."""

SAID_SHARE = 0.45
"""Of the first or last sentence: with less of it found, its beginning or end is a guess."""

MISSING_WORDS = 2
"""So many of its first or last words may be missing."""


@dataclass(frozen=True)
class Edge:
    """Where the clock starts or stops, in s; `word` is the word of the talk at which it does."""

    at_s: float
    word: int
    certain: Certain
    why: str = ""


def edges(found: Paired, first: int | None, language: str) -> tuple[Edge, Edge]:
    """Start and finish of the run, of which word `first` is the first of the script; None without
    any. The word of a finish is the one behind the run.
    """
    laid = found.laid
    if not laid.heard:
        return Edge(0.0, 0, "guess"), Edge(0.0, 0, "guess")
    if first is None:
        begins_s = min(word.start_s for word in laid.timed)
        ends_s = max(word.end_s for word in laid.timed)
        return Edge(begins_s, 0, "guess"), Edge(ends_s, len(laid.heard), "guess")
    start = _start(found, first, language)
    finish = _finish(found, language)
    return start, replace(finish, at_s=max(start.at_s, finish.at_s))


def _start(found: Paired, first: int, language: str) -> Edge:
    """When the clock starts, and the first word behind the call for it."""
    laid = found.laid
    before = [
        at
        for at in range(first - 1, -1, -1)
        if not laid.is_timed or laid.start_s(first) - laid.end_s(at) <= CALL_BEFORE_S
    ]
    called = _called(laid, before, STARTS, language, 0)
    if called is not None:
        at, certain, why = called
        return Edge(laid.end_s(at), at + 1, certain, why)
    at_s = laid.start_s(first)
    if not (_is_opening_heard(found) or _is_first_of_all(found, before)):
        return Edge(at_s, first, "guess", "The first words of the script were not heard.")
    if may_begin_before(found, 0, first):
        return Edge(at_s, first, "guess", "What was said before it may be the script's too.")
    if before and _is_short_phrase(laid, before[0]):
        return Edge(at_s, first, "guess", f"{FEW_WORDS} right before it.")
    return Edge(at_s, first, "likely", "With the first words of the script.")


def _finish(found: Paired, language: str) -> Edge:
    """When the clock stops, and the first word behind the call for it."""
    laid = found.laid
    last = last_sentence(found)
    exact = found.by_sentence[last][-1].heard + 1
    behind = [
        at
        for at in range(exact, len(laid.heard))
        if not laid.is_timed or laid.start_s(at) - laid.end_s(exact - 1) <= CALL_AFTER_S
    ]
    called = (
        None if _is_call(found, last, language) else _called(laid, behind, ENDS, language, exact)
    )
    if called is not None:
        at, certain, why = called
        return Edge(laid.end_s(at), at + 1, certain, why)
    stop, reached = stop_of(found)
    at_s = laid.end_s(stop - 1)
    sentences = laid.sentences
    is_last_heard = stop == len(laid.heard)
    is_end = _is_end_heard(found, last) if stop == exact else reached == len(sentences) - 1
    if not (is_end or is_last_heard):
        return Edge(at_s, stop, "guess", "The last words of the script were not heard.")
    if may_end_behind(found, sentences[-1].segment, stop):
        return Edge(at_s, stop, "guess", "What was said behind it may be the script's too.")
    if stop in behind and _is_short_phrase(laid, stop):
        return Edge(at_s, stop, "guess", f"{FEW_WORDS} right behind it.")
    return Edge(at_s, stop, "likely", "With the last words of the script.")


def _is_call(found: Paired, number: int, language: str) -> bool:
    """Whether a sentence of the script is itself a call for time."""
    sentence = found.laid.sentences[number]
    words = [each.stem for each in found.laid.script[sentence.first : sentence.stop]]
    return any(words == [each.stem for each in plain_words(call, language)] for call in ENDS)


FEW_WORDS = "A few words, perhaps a call for time, were said"


def _is_opening_heard(found: Paired) -> bool:
    """Whether the script's own first words begin what was found."""
    pairs = found.by_sentence.get(0)
    if pairs is None or 0 in found.swapped or found.share(0, pairs) < SAID_SHARE:
        return False
    is_first = all(own[0].heard >= pairs[0].heard for own in found.by_sentence.values())
    return is_first and pairs[0].script <= MISSING_WORDS


def _is_first_of_all(found: Paired, before: Sequence[int]) -> bool:
    """Whether nothing was said before what was found, and that is of the first segment."""
    first = min(found.by_sentence, key=lambda number: found.by_sentence[number][0].heard)
    return not before and found.laid.sentences[first].segment == 0


def _is_end_heard(found: Paired, last: int) -> bool:
    """Whether the script's own last words end what was found."""
    sentences, pairs = found.laid.sentences, found.by_sentence[last]
    missing = sentences[-1].stop - 1 - pairs[-1].script
    stop = pairs[-1].heard + 1
    laid = found.laid
    runs_on = laid.is_timed and stop < len(laid.heard) and laid.gap_s(stop) <= PAUSE_S
    return (
        missing <= (0 if runs_on else MISSING_WORDS)
        and found.share(last, pairs) >= SAID_SHARE
        and all(hole_words(one, other) <= TORN_WORDS for one, other in pairwise(pairs))
    )


def _is_short_phrase(laid: Laid, at: int) -> bool:
    """Whether word `at` is one of a few said between two pauses."""
    return any(stop - begin <= LONGEST_CALL for begin, stop in _phrases_in(laid, [at]))


def _phrases_in(laid: Laid, places: Sequence[int]) -> list[tuple[int, int]]:
    """The stretches between two pauses in which these words stand: first word, and stop."""
    if not laid.is_timed:
        return []
    found: dict[tuple[int, int], None] = {}
    for at in places:
        begin, stop = at, at + 1
        while begin > 0 and laid.gap_s(begin) <= PHRASE_S:
            begin -= 1
        while stop < len(laid.heard) and laid.gap_s(stop) <= PHRASE_S:
            stop += 1
        found[begin, stop] = None
    return list(found)


def _is_alone(laid: Laid, at: int) -> bool:
    """Whether a word stands between two pauses: within a sentence it is no call."""
    behind = at + 1 == len(laid.heard) or laid.gap_s(at + 1) > PAUSE_S
    return not laid.is_timed or (behind and (at == 0 or laid.gap_s(at) > PAUSE_S))


def _called(
    laid: Laid, places: Sequence[int], calls: Sequence[str], language: str, least: int
) -> tuple[int, Certain, str] | None:
    """The last word of a call for time that ends at one of these places; the nearest first."""
    from rapidfuzz.distance import Levenshtein

    phrases = [[each.stem for each in plain_words(text, language)] for text in calls]
    for at in places:
        for phrase in phrases:
            begin = at + 1 - len(phrase)
            if (
                begin >= least
                and [each.stem for each in laid.heard[begin : at + 1]] == phrase
                and (len(phrase) > 1 or _is_alone(laid, at))
            ):
                return at, "sure", "Time was called."
    longer = ["".join(each) for each in phrases if len("".join(each)) >= LEAST_LETTERS]
    for begin, stop in _phrases_in(laid, places):
        said = "".join(each.stem for each in laid.heard[begin:stop])
        if begin >= least and any(
            Levenshtein.normalized_similarity(phrase, said) >= CALL_LIKE for phrase in longer
        ):
            return stop - 1, "likely", "What was heard is like a call for time."
    return None
