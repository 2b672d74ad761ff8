"""Where the clock began and ended: the presenter's own words for it, or the first and last of the
script. A host before and after belongs to neither.
"""

from dataclasses import dataclass

from server.domain.heard.alignment import Certain
from server.domain.heard.pairing import Paired
from server.domain.heard.script_words import Laid

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


@dataclass(frozen=True)
class Edges:
    """Start and finish in s, how sure they are, and the words of the talk between them."""

    start_s: float
    finish_s: float
    start_certain: Certain
    finish_certain: Certain
    first: int
    stop: int


def edges(found: Paired, first: int | None, language: str) -> Edges:
    """The edges of the run, of which word `first` is the first of the script; None without any."""
    laid = found.laid
    if not laid.heard:
        return Edges(0.0, 0.0, "guess", "guess", 0, 0)
    if first is None:
        begins_s = min(word.start_s for word in laid.timed)
        ends_s = max(word.end_s for word in laid.timed)
        return Edges(begins_s, ends_s, "guess", "guess", 0, len(laid.heard))
    stop = max(pairs[-1].heard for pairs in found.by_sentence.values()) + 1
    start_s, begin, start_certain = _start(laid, first, language)
    finish_s, end, finish_certain = _finish(laid, stop, language)
    return Edges(start_s, max(start_s, finish_s), start_certain, finish_certain, begin, end)


def _start(laid: Laid, first: int, language: str) -> tuple[float, int, Certain]:
    """When the clock starts, the first word behind the call for it, and how sure that is."""
    calls = _phrases(STARTS, language)
    for at in range(first - 1, -1, -1):
        if laid.is_timed and laid.start_s(first) - laid.end_s(at) > CALL_BEFORE_S:
            break
        if any(_ends_with(laid, at, phrase) for phrase in calls):
            return laid.end_s(at), at + 1, "sure"
    return laid.start_s(first), first, "likely"


def _finish(laid: Laid, stop: int, language: str) -> tuple[float, int, Certain]:
    """When the clock stops, the first word behind the call for it, and how sure that is."""
    calls = _phrases(ENDS, language)
    for at in range(stop, len(laid.heard)):
        if laid.is_timed and laid.start_s(at) - laid.end_s(stop - 1) > CALL_AFTER_S:
            break
        if any(_ends_with(laid, at, phrase, stop) for phrase in calls):
            return laid.end_s(at), at + 1, "sure"
    return laid.end_s(stop - 1), stop, "likely"


def _phrases(texts: tuple[str, ...], language: str) -> list[tuple[str, ...]]:
    from server.domain.heard.plain_words import plain_words

    return [tuple(each.stem for each in plain_words(text, language)) for text in texts]


def _ends_with(laid: Laid, at: int, phrase: tuple[str, ...], least: int = 0) -> bool:
    begin = at + 1 - len(phrase)
    return begin >= least and tuple(each.stem for each in laid.heard[begin : at + 1]) == phrase
