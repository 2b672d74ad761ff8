"""How long the words of a plan take at the presenter's own pace."""

from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from math import ceil

from server.domain.belief.practice import MOST_RUNS, PastRun
from server.domain.belief.run_durations import WaitsOfPlans, durations_s
from server.domain.belief.words_pace import SpokenSplit
from server.domain.claims.pace import Paces, WordPace, measure, seconds_for
from server.domain.routine.routine import Routine, Segment
from server.domain.runs.summary import RunLine

_measure = lru_cache(maxsize=4096)(measure)


def voice_s(segment: Segment, pace: WordPace, language: str) -> float | None:
    """Seconds that the words of a segment take; None where nothing is written down to be said."""
    if segment.lane == "hands" or not segment.said.strip():
        return None
    words, sentences = _measure(segment.said, language)
    return seconds_for(words, sentences, pace) if words else None


def spoken_words(segment: Segment, language: str) -> int:
    """How many words are said in a segment: the count that every page shows."""
    return _measure(segment.said, language)[0]


def wordless(segments: Iterable[Segment]) -> tuple[Segment, ...]:
    """The segments that are meant to be spoken and have no words yet."""
    return tuple(
        each
        for each in segments
        if each.lane != "hands" and not each.helper and not each.said.strip()
    )


def voice_times(
    segments: Iterable[Segment], paces: Paces, language: str, fitted: Collection[str] = ()
) -> dict[str, float]:
    """Segment id -> seconds that its words take, where there are any.

    Words of `fitted` segments are taken to be cut to what is planned for them.
    """
    times = [(each, voice_s(each, paces.of(each.id), language)) for each in segments]
    return {
        each.id: min(seconds, each.duration.likely_s) if each.id in fitted else seconds
        for each, seconds in times
        if seconds is not None
    }


def words_over(segment: Segment, paces: Paces, language: str) -> int:
    """About how many words of a segment must go for it to keep its planned time; 0 where none."""
    seconds = voice_s(segment, paces.of(segment.id), language)
    if seconds is None or seconds <= segment.duration.likely_s:
        return 0
    words, _ = _measure(segment.said, language)
    return ceil(words * (1 - segment.duration.likely_s / seconds))


def planned_times(
    segments: Iterable[Segment], paces: Paces, language: str, fitted: Collection[str] = ()
) -> dict[str, float]:
    """Segment id -> its likely seconds: the longer of what is planned and what its words take."""
    segments = tuple(segments)
    voices_s = voice_times(segments, paces, language, fitted)
    return {each.id: max(each.duration.likely_s, voices_s.get(each.id, 0.0)) for each in segments}


def past_runs(
    lines: Iterable[RunLine], then: Mapping[str, tuple[Segment, ...]], paces: Paces, language: str
) -> list[PastRun]:
    """Runs with the plans of their days; `then` is run id -> the segments of that plan."""
    planned_s: dict[int, dict[str, float]] = {}
    found = []
    for line in lines:
        segments = then.get(line.id, ())
        # Runs of one plan share the very tuple: telling whether two are equal takes longer.
        if id(segments) not in planned_s:
            planned_s[id(segments)] = planned_times(segments, paces, language)
        found.append(PastRun(line, planned_s[id(segments)], segments))
    return found


def spoken_splits(
    routine: Routine, lines: Iterable[RunLine], said_then: Mapping[str, Iterable[Segment]]
) -> list[SpokenSplit]:
    """What the runs that count tell about pace; `said_then` is run id -> its plan's segments.

    How long a segment took is what the belief is told of it (`run_durations`): without the time for
    which it waited. Segments that run alongside another are left out: their splits are not the time
    of their talk.
    """
    found: list[SpokenSplit] = []
    waits = WaitsOfPlans()
    for line in [each for each in lines if each.splits_count][-MOST_RUNS:]:
        segments = tuple(said_then.get(line.id, ()))
        took_s = durations_s(segments, routine.processes, line, waits.of(segments))
        found += [
            SpokenSplit(each.id, *_measure(each.said, routine.language), took_s[each.id], each.lane)
            for each in segments
            if each.id in took_s and each.said and not (each.alongside or each.helper)
        ]
    return found
