"""How long each segment takes beside what is planned for it, and what of that needs somebody."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from server.domain.belief.practice import PastRun
from server.domain.routine.estimate import TimeEstimate
from server.domain.routine.routine import Segment

SAME_S = 0.5
"""What a segment takes and what is planned for it are the same within so many seconds."""

LEAST_SHARE = 0.25
"""Assumption, no source: a run counts as longer from this share on of what the segment takes longer
now: three runs 3 s over and one 57 s over are not four that were 47 s longer."""

LEAST_OVER_S = 1.5
"""Assumption, no source: less than two seconds, once rounded, is nothing to plan anew."""

LEAST_RUNS = 3
"""Assumption, no source: fewer runs in a row may all be longer by chance (one time in eight)."""


@dataclass(frozen=True)
class Takes:
    """A segment's time in seconds: planned, and as the presenter is believed to take.

    One in ten is quicker than `low_s`, one in ten slower than `high_s`. `runs` have measured it,
    `runs_since_cut` of them since it was planned clearly shorter than before; in the last
    `longer_runs` of these, one after the other, it took longer than planned, each by a fair share
    of what it takes longer now. `words_s` is what its words take, None where nothing is said.
    """

    planned_s: float
    takes_s: float
    low_s: float
    high_s: float
    runs: int
    runs_since_cut: int
    longer_runs: int
    words_s: float | None

    @property
    def over_s(self) -> float:
        """By how much it takes longer than planned; negative where it is quicker."""
        return self.takes_s - self.planned_s

    @property
    def has_grown(self) -> bool:
        """Whether run after run takes clearly longer than planned."""
        return self.over_s >= LEAST_OVER_S and self.longer_runs >= LEAST_RUNS

    @property
    def proposed_s(self) -> float | None:
        """What to plan instead, in whole seconds; None where the plan still holds."""
        return float(round(self.takes_s)) if self.has_grown else None

    @property
    def words_over_s(self) -> float:
        """By how much its words are longer than planned, 0 where they fit.

        Where runs have measured the segment they say it better than its words.
        """
        if self.words_s is None or self.runs_since_cut >= LEAST_RUNS:
            return 0.0
        over_s = self.words_s - self.planned_s
        return over_s if over_s >= LEAST_OVER_S else 0.0


def takes_of(
    planned_s: float,
    believed: TimeEstimate,
    splits_s: Sequence[float],
    words_s: float | None,
    then_s: Sequence[float] = (),
) -> Takes:
    """What a segment takes; `splits_s` are its times in the runs that count, the latest last.

    `then_s` is what each of these runs had planned for it, where that is known. What was run under
    a plan that gave it clearly more does not tell that the plan of now cannot be kept.
    """
    within_s = max(SAME_S, LEAST_SHARE * (believed.likely_s - planned_s))
    cut = max((n for n, each in enumerate(then_s, 1) if each > planned_s + within_s), default=0)
    since_cut = splits_s[cut:]
    longer = 0
    for split_s in reversed(since_cut):
        if split_s <= planned_s + within_s:
            break
        longer += 1
    return Takes(
        planned_s=planned_s,
        takes_s=believed.likely_s,
        low_s=believed.low_s,
        high_s=believed.high_s,
        runs=len(splits_s),
        runs_since_cut=len(since_cut),
        longer_runs=longer,
        words_s=words_s,
    )


def all_takes(
    segments: Iterable[Segment],
    believed: Mapping[str, TimeEstimate],
    runs: Sequence[PastRun],
    words_s: Mapping[str, float],
) -> dict[str, Takes]:
    """Segment id -> what it takes; `runs` are those that count, the latest last."""
    told: dict[str, Takes] = {}
    for each in segments:
        planned_s = each.duration.likely_s
        measured = [run for run in runs if each.id in run.line.summary.splits_ms]
        told[each.id] = takes_of(
            planned_s,
            believed[each.id],
            [run.line.summary.splits_ms[each.id] / 1000 for run in measured],
            words_s.get(each.id),
            [_then_s(run, each.id, planned_s) for run in measured],
        )
    return told


def _then_s(run: PastRun, segment_id: str, now_s: float) -> float:
    """What the plan of a run had for a segment; its `planned_s` reckons with the words as well."""
    then = (each.duration.likely_s for each in run.segments if each.id == segment_id)
    return next(then, now_s)
