"""How long the words of a plan take at the presenter's own pace."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from server.domain.claims.pace import Pace, SpokenSplit, measure, seconds_for
from server.domain.routine import Routine, Segment
from server.domain.summary import RunLine

_measure = lru_cache(maxsize=4096)(measure)


def voice_s(segment: Segment, pace: Pace, language: str) -> float | None:
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


def voice_times(segments: Iterable[Segment], pace: Pace, language: str) -> dict[str, float]:
    """Segment id -> seconds that its words take, where there are any."""
    times = {each.id: voice_s(each, pace, language) for each in segments}
    return {each: seconds for each, seconds in times.items() if seconds is not None}


def planned_times(segments: Iterable[Segment], pace: Pace, language: str) -> dict[str, float]:
    """Segment id -> its likely seconds: the longer of what is planned and what its words take."""
    return {
        each.id: max(each.duration.likely_s, voice_s(each, pace, language) or 0.0)
        for each in segments
    }


def spoken_splits(
    routine: Routine, lines: Iterable[RunLine], said_then: Mapping[str, Iterable[Segment]]
) -> list[SpokenSplit]:
    """What the runs that count tell about pace; `said_then` is run id -> its plan's segments.

    Segments that run alongside another are left out: their splits are not the time of their talk.
    """
    return [
        SpokenSplit(
            segment.id,
            *_measure(segment.said, routine.language),
            line.summary.splits_ms[segment.id] / 1000,
            segment.lane,
        )
        for line in lines
        if line.counts
        for segment in said_then.get(line.id, ())
        if segment.id in line.summary.splits_ms
        if segment.said and not (segment.alongside or segment.helper)
    ]
