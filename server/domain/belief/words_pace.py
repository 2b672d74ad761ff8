"""The pace of words, learnt from the runs that the belief is learnt from.

Until there are runs the pace is a published one. Public talk to an audience runs at 125 to 160
words a minute (Tauroza & Allison, Applied Linguistics 11(1), 1990, lectures: "average" band, as
cited in public notes), 145 to 155 in other counts of lectures; popular talks 133 to 188, mean 163.
These figures are for English; for other languages they are a first guess too. Only segments in
which the voice sets the time teach a pace, and a segment that was measured has its own, whatever
its words would take at the common one. The belief itself cannot tell the pace: it asks the pace by
how much words that were changed shift a segment. What is assumed stands in `assumptions`.

>>> pace = learn_pace([])
>>> round(pace.words_per_minute), pace.runs, pace.assumed
(145, 0, 1.0)
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from server.domain.belief.assumptions import Assumptions
from server.domain.claims.pace import PAUSE_S, SENTENCE_WORDS, Paces, WordPace
from server.domain.routine.routine import Lane


@dataclass(frozen=True)
class SpokenSplit:
    """What a run tells about pace: a segment's text as it was then, and how long it took.

    `words` and `sentences` are those of the text (see `measure`); `split_s` is the time taken.
    """

    segment_id: str
    words: int
    sentences: int
    split_s: float
    lane: Lane = "voice"


def learn_pace(splits: Iterable[SpokenSplit], known: Assumptions | None = None) -> WordPace:
    """The pace that runs show, drawn towards the published one while they are few.

    `splits` are in the order of the runs. Each segment gives the mean of its latest runs. It weighs
    by its precision, one over the variance of what differs between segments and between runs; the
    prior weighs likewise (a normal prior on the logarithm of the pace). Segments in which only the
    voice works count fully; the others are used only where there are none, and only where their
    words fill them at the published pace: elsewhere the hands set the time, which says nothing of
    the pace.
    """
    known = known or Assumptions()
    usable = [split for split in splits if _is_talk(split, known)]
    voice = [split for split in usable if split.lane == "voice"]
    taken = voice or [split for split in usable if _fills(split, known.pace_wpm, known)]
    by_segment = _latest_logs(taken, known)
    segment_sd = known.pace_segment if voice else known.pace_both
    weights = 1 / known.pace_spread**2
    weighted = math.log(known.pace_wpm) * weights
    for logs in by_segment.values():
        weight = 1 / (segment_sd**2 + known.pace_run**2 / len(logs))
        weights += weight
        weighted += weight * sum(logs) / len(logs)
    mean, sd = weighted / weights, math.sqrt(1 / weights)
    return WordPace(
        words_per_minute=math.exp(mean),
        low_wpm=math.exp(mean - 2 * sd),
        high_wpm=math.exp(mean + 2 * sd),
        segments=len(by_segment),
        runs=max((len(logs) for logs in by_segment.values()), default=0),
        note=_note(len(by_segment), bool(voice), known),
        assumed=1 / known.pace_spread**2 / weights,
    )


def learn_paces(splits: Iterable[SpokenSplit], known: Assumptions | None = None) -> Paces:
    """The pace that runs show, and for each segment whose talk was measured that of its own.

    A segment's own is the median of its latest runs, each by the text as it was then. In a segment
    where the hands work too a run counts only where its words fill the time: where they would take
    longer than was measured, or nearly as long.
    """
    known = known or Assumptions()
    usable = [split for split in splits if _is_talk(split, known)]
    common = learn_pace(usable, known)
    filled = [
        split
        for split in usable
        if split.lane == "voice" or _fills(split, common.words_per_minute, known)
    ]
    logs = _latest_logs(filled, known)
    return Paces(common, {each: _own(found, known) for each, found in logs.items()})


def _latest_logs(splits: Iterable[SpokenSplit], known: Assumptions) -> dict[str, list[float]]:
    """Segment id -> the logarithms of its pace in its latest runs, oldest first."""
    logs: dict[str, list[float]] = {}
    for split in splits:
        logs.setdefault(split.segment_id, []).append(_log_wpm(split))
    return {each: found[-known.pace_runs :] for each, found in logs.items()}


def _own(logs: Sequence[float], known: Assumptions) -> WordPace:
    middle, sd = median(logs), known.pace_run / math.sqrt(len(logs))
    low_wpm, high_wpm = math.exp(middle - 2 * sd), math.exp(middle + 2 * sd)
    return WordPace(math.exp(middle), low_wpm, high_wpm, segments=1, runs=len(logs), note="")


def _fills(split: SpokenSplit, wpm: float, known: Assumptions) -> bool:
    """Whether the words of a split take about as long as the split, or longer, at this pace."""
    return math.exp(_log_wpm(split)) >= known.pace_filled * wpm


def _is_talk(split: SpokenSplit, known: Assumptions) -> bool:
    if split.words < known.pace_words or split.split_s <= 0 or split.lane == "hands":
        return False
    return known.pace_slowest <= split.words / split.split_s * 60 <= known.pace_fastest


def _log_wpm(split: SpokenSplit) -> float:
    """The logarithm of the words a minute that this split would be in 15-word sentences."""
    spoken_s = max(split.split_s - split.sentences * PAUSE_S, 0.2 * split.split_s)
    word_s = spoken_s / split.words + PAUSE_S / SENTENCE_WORDS
    return math.log(60.0 / word_s)


def _note(segments: int, from_voice: bool, known: Assumptions) -> str:
    if segments == 0:
        return (
            "No run has measured your pace yet: this is that of public talks, "
            f"{known.pace_wpm:.0f} words a minute."
        )
    if not from_voice:
        return "From segments in which the hands work too; talk alone may be faster."
    return ""
