"""What the sentences that do not sit cost on stage, where the runs can show it.

A split is held against the number of sentences of its segment that were stumbled on when it was
run: the latest mark of each before the run. Segments differ, and so do runs (whoever practises gets
faster and stumbles less at the same time): both means are taken out, and what is left is told only
where Student's t finds it surely above nothing. It is a course that both share, no proof of cause.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from server.domain.base.student import t_cdf
from server.domain.learn.learning_marks import LearningMark
from server.domain.learn.said_before import Words
from server.domain.learn.script import LearntSentence
from server.domain.learn.thinning import words_of

LEAST_SPLITS = 12
"""Fewer splits of learnt segments say nothing."""

ONE_SIDED_P = 0.025
"""A cost is told below it: one in forty such findings would be chance."""

_ROUNDS = 30
"""Means of segments and runs in turn settle well before that."""


@dataclass(frozen=True)
class StumbleCost:
    """What a stumbled sentence costs in seconds, and how many splits say so."""

    seconds: float
    splits: int


Splits = Mapping[str, float]
"""Segment id -> seconds in one run."""


def cost_of_stumbles(
    runs: Iterable[tuple[int, Splits]],
    sentences: Sequence[LearntSentence],
    marks: Iterable[LearningMark],
) -> StumbleCost | None:
    """Seconds that a stumbled sentence adds to its segment; None where the runs do not show it.

    `runs` are those that count, each with when it began (ms) and its splits.
    """
    timeline = _timeline(marks)
    rows: list[tuple[str, int, float, float]] = []
    for started_ms, splits in runs:
        said = [each for each in sentences if _last(timeline, each.words, started_ms)]
        for segment_id in {each.segment_id for each in said} & splits.keys():
            of_it = [each for each in said if each.segment_id == segment_id]
            lost = sum(_last(timeline, each.words, started_ms) != "sat" for each in of_it)
            rows.append((segment_id, started_ms, float(lost), splits[segment_id]))
    return _slope(rows) if len(rows) >= LEAST_SPLITS else None


def _slope(rows: Sequence[tuple[str, int, float, float]]) -> StumbleCost | None:
    segments, runs = {row[0] for row in rows}, {row[1] for row in rows}
    x = _without_means(rows, [row[2] for row in rows])
    y = _without_means(rows, [row[3] for row in rows])
    df = len(rows) - len(segments) - len(runs)
    square = sum(each * each for each in x)
    if df < 1 or square < 1e-9:
        return None
    slope = sum(a * b for a, b in zip(x, y, strict=True)) / square
    left = sum((b - slope * a) ** 2 for a, b in zip(x, y, strict=True))
    error = (left / df / square) ** 0.5
    if slope <= 0 or (error > 0 and 1 - t_cdf(slope / error, df) > ONE_SIDED_P):
        return None
    return StumbleCost(slope, len(rows))


def _without_means(
    rows: Sequence[tuple[str, int, float, float]], values: list[float]
) -> list[float]:
    for _ in range(_ROUNDS):
        for by in (0, 1):
            groups: dict[object, list[int]] = {}
            for at, row in enumerate(rows):
                groups.setdefault(row[by], []).append(at)
            for places in groups.values():
                mean = fmean(values[at] for at in places)
                for at in places:
                    values[at] -= mean
    return values


def _timeline(marks: Iterable[LearningMark]) -> dict[Words, list[tuple[int, str]]]:
    found: dict[Words, list[tuple[int, str]]] = {}
    for mark in sorted(marks, key=lambda each: each.said_ms):
        found.setdefault(words_of(mark.text), []).append((mark.said_ms, mark.counted))
    return found


def _last(timeline: Mapping[Words, list[tuple[int, str]]], words: Words, until_ms: int) -> str:
    """How a sentence went the last time before a moment; "" where it was never said."""
    before = [how for at_ms, how in timeline.get(words, ()) if at_ms < until_ms]
    return before[-1] if before else ""
