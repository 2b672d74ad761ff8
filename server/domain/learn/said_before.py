"""What was said before of each sentence of the script, also where the sentence has changed since.

A sentence is known by its words: moved to another segment or punctuated anew it is the same. One
that was edited follows from the marked sentence that it shares most words with, if that no longer
stands in the script; of what was remembered then it keeps the share of its words that stayed. The
words that came new are told, for they alone are new to learn.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo

from server.domain.learn.learning_marks import How, LearningMark
from server.domain.learn.memory import USUAL, Learner, Memory, after
from server.domain.learn.own_memory import MOST_COURSES, Course, Recital
from server.domain.learn.thinning import words_of

Words = tuple[str, ...]

LEAST_KEPT = 0.5
"""A sentence that shares less of its words with a former one is another."""

_CANDIDATES = 3
_MOST_EDITS = 8
"""How often a sentence may have been edited for its history to be followed back."""


@dataclass(frozen=True)
class History:
    """What is remembered of a sentence; `changed` are the places of words that are new in it.

    `last` is how it went the last time, `said_ms` when, `in_run` whether a recording told it; all
    of its former text where this one was never said. `said_days` are those on which it was learnt.
    """

    memory: Memory | None = None
    last: How | None = None
    said_ms: int = 0
    said_days: tuple[date, ...] = ()
    changed: frozenset[int] = frozenset()
    in_run: bool = False


NEVER_SAID = History()


@dataclass
class _Thread:
    """All marks of one text, the first one first."""

    words: Words
    marks: list[LearningMark] = field(default_factory=list)


def histories(
    texts: Iterable[str],
    marks: Iterable[LearningMark],
    zone: tzinfo,
    learner: Learner = USUAL,
) -> dict[Words, History]:
    """Words of each sentence of the script -> what was said of it, with days as of `zone`."""
    threads: dict[Words, _Thread] = {}
    for mark in sorted(marks, key=lambda each: (each.said_ms, each.id)):
        words = words_of(mark.text)
        threads.setdefault(words, _Thread(words)).marks.append(mark)
    current = {words_of(text) for text in texts} - {()}
    former = _Former([thread for words, thread in threads.items() if words not in current])
    found = {}
    for words in current:
        own = threads.get(words)
        until_ms = own.marks[0].said_ms if own else None
        earlier = former.of(words, until_ms)
        found[words] = _told(words, earlier, own, zone, learner)
    return found


def courses_of(marks: Sequence[LearningMark], zone: tzinfo) -> tuple[Course, ...]:
    """What was said of each sentence that was new when it was first said; from its marks in order.

    One that followed from another is left out: what was known of that is no first saying.
    """
    threads: dict[Words, _Thread] = {}
    for mark in marks:
        words = words_of(mark.text)
        threads.setdefault(words, _Thread(words)).marks.append(mark)
    all_ = list(threads.values())
    former = _Former(all_)
    fresh = [each for each in all_ if not former.of(each.words, each.marks[0].said_ms)]
    fresh.sort(key=lambda each: each.marks[-1].said_ms)
    return tuple(
        tuple(
            Recital(mark.counted, _day_of(mark, zone), mark.said_ms, mark.run_id is None)
            for mark in each.marks
        )
        for each in fresh[-MOST_COURSES:]
    )


def kept_share(before: Sequence[str], now: Sequence[str]) -> float:
    """Which share of the words of a sentence stood in its former text, in the same order.

    >>> kept_share("the lamp is lit".split(), "the lamp is not lit".split())
    0.8
    """
    from rapidfuzz.distance import LCSseq

    return LCSseq.similarity(before, now) / len(now) if now else 0.0


def changed_words(before: Sequence[str], now: Sequence[str]) -> frozenset[int]:
    """The places of the words that are new in a sentence.

    >>> sorted(changed_words("the lamp is lit".split(), "this lamp is not lit".split()))
    [0, 3]
    """
    from rapidfuzz.distance import LCSseq

    stayed: set[int] = set()
    for block in LCSseq.opcodes(before, now):
        if block.tag == "equal":
            stayed |= set(range(block.dest_start, block.dest_end))
    return frozenset(range(len(now))) - stayed


class _Former:
    """Marked sentences that no longer stand in the script, found by the words they share."""

    def __init__(self, threads: Sequence[_Thread]) -> None:
        self._threads = threads
        self._holding: Mapping[str, set[int]] = defaultdict(set)
        for place, thread in enumerate(threads):
            for word in set(thread.words):
                self._holding[word].add(place)

    def of(self, words: Words, until_ms: int | None) -> list[_Thread]:
        """The former texts of a sentence, the oldest first, that were said before `until_ms`."""
        found: list[_Thread] = []
        while len(found) < _MOST_EDITS:
            before = self._nearest(words, until_ms)
            if before is None:
                break
            found.insert(0, before)
            words, until_ms = before.words, before.marks[0].said_ms
        return found

    def _nearest(self, words: Words, until_ms: int | None) -> _Thread | None:
        shared: Counter[int] = Counter()
        for word in set(words):
            shared.update(self._holding.get(word, ()))
        likely = [self._threads[place] for place, _ in shared.most_common(_CANDIDATES)]
        told = [
            (kept_share(thread.words, words), thread.marks[-1].said_ms, thread)
            for thread in likely
            if until_ms is None or thread.marks[0].said_ms < until_ms
        ]
        best = max(told, key=lambda each: each[:2], default=None)
        # What a sentence lost counts as well: half of a long one is no edit of it.
        if best is None or min(best[0], kept_share(words, best[2].words)) < LEAST_KEPT:
            return None
        return best[2]


def _day_of(mark: LearningMark, zone: tzinfo) -> date:
    return datetime.fromtimestamp(mark.said_ms / 1000, zone).date()


def _told(
    words: Words, earlier: list[_Thread], own: _Thread | None, zone: tzinfo, learner: Learner
) -> History:
    memory: Memory | None = None
    before: Words | None = None
    last: LearningMark | None = None
    days: list[date] = []
    for thread in [*earlier, *([own] if own else [])]:
        if memory is not None and before is not None:
            memory = memory.kept(kept_share(before, thread.words))
        for mark in thread.marks:
            day = _day_of(mark, zone)
            memory = after(memory, mark.counted, day, learner)
            if mark.run_id is None:
                days.append(day)
            last = mark
        before = thread.words
    if last is None:
        return NEVER_SAID
    changed: frozenset[int] = frozenset()
    if own is None and before is not None and memory is not None:
        memory = memory.kept(kept_share(before, words))
        changed = changed_words(before, words)
    in_run = last.run_id is not None
    return History(memory, last.counted, last.said_ms, tuple(days), changed, in_run)
