"""Runs beside each other and beside the plan; segments are matched by id.

All runs are measured against the rule sheet as it stands now, so that they compare on one ground.
Times of runs are ms, times of the plan seconds.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from server.domain.base.spread import Level, describe
from server.domain.routine.routine import Routine, Segment
from server.domain.routine.rules import RuleSheet
from server.domain.runs.summary import RunLine


@dataclass(frozen=True)
class Verdict:
    """A run's total against the rule sheet."""

    to_slot_s: float
    penalty: float
    cut_off: bool

    @property
    def inside(self) -> bool:
        """Whether the run ended within the slot."""
        return self.to_slot_s <= 0


@dataclass(frozen=True)
class ComparedRun:
    """A run with its verdict (None unless it was finished) and the processes it waited for."""

    line: RunLine
    verdict: Verdict | None
    missed: tuple[str, ...]


@dataclass(frozen=True)
class ComparedSegment:
    """A segment with its level over the counted runs; `segment` is None where it is gone."""

    id: str
    name: str
    segment: Segment | None
    level: Level | None

    @property
    def planned_ms(self) -> float | None:
        """The likely duration in the plan as it stands now."""
        return None if self.segment is None else self.segment.duration.likely_s * 1000


@dataclass(frozen=True)
class RunComparison:
    """All runs of a routine beside each other."""

    runs: tuple[ComparedRun, ...]
    segments: tuple[ComparedSegment, ...]
    total: Level | None
    inside: int
    """Counted runs that ended within the slot."""


def compare(
    routine: Routine, rules: RuleSheet, lines: Sequence[RunLine], old_names: dict[str, str]
) -> RunComparison:
    """The comparison of `lines`, oldest first; `old_names` names segments no longer planned."""
    counted = [line for line in lines if line.counts]
    measured = [line for line in lines if line.splits_count]
    process_names = {process.id: process.name for process in routine.processes}
    runs = tuple(
        ComparedRun(
            line=line,
            verdict=_verdict(line, rules),
            missed=tuple(process_names.get(each, "a process") for each in line.summary.missed),
        )
        for line in lines
    )
    verdicts = [run.verdict for run in runs if run.line.counts and run.verdict is not None]
    return RunComparison(
        runs=runs,
        segments=_segments(routine, lines, measured, old_names),
        total=describe([line.total_ms for line in counted if line.total_ms is not None]),
        inside=sum(verdict.inside for verdict in verdicts),
    )


def _verdict(line: RunLine, rules: RuleSheet) -> Verdict | None:
    is_whole = line.status == "finished" and line.summary.part is None
    if line.total_ms is None or not is_whole or line.broken_off:
        return None
    return verdict_on(line.total_ms / 1000, rules)


def verdict_on(total_s: float, rules: RuleSheet) -> Verdict:
    """What a total of `total_s` means under a rule sheet."""
    return Verdict(
        to_slot_s=total_s - rules.slot_s,
        penalty=rules.penalty(total_s),
        cut_off=rules.is_cut_off(total_s),
    )


def _segments(
    routine: Routine,
    lines: Sequence[RunLine],
    measured: Sequence[RunLine],
    old_names: dict[str, str],
) -> tuple[ComparedSegment, ...]:
    """The segments of the plan, and behind them those that only runs have."""
    planned = {segment.id: segment for segment in routine.segments}
    ids = (*planned, *_retired(planned, lines))
    return tuple(
        ComparedSegment(
            id=key,
            name=planned[key].name if key in planned else old_names.get(key, "a former segment"),
            segment=planned.get(key),
            level=describe([split for split in splits if split is not None]),
        )
        for key, splits in zip(ids, _columns(ids, measured), strict=True)
    )


def _retired(planned: Collection[str], lines: Sequence[RunLine]) -> list[str]:
    """Segments that runs have but the plan no longer has, in the order they first appear."""
    known = set(planned)
    # Mostly there is none: whole sets are held against each other, not each mark of every run.
    others = (line.summary.ends_ms for line in lines if not known.issuperset(line.summary.ends_ms))
    seen = dict.fromkeys(each for ends_ms in others for each in ends_ms)
    return [each for each in seen if each not in known]


def _columns(ids: Sequence[str], measured: Sequence[RunLine]) -> Iterable[Sequence[int | None]]:
    """The splits of each segment over the runs (ms), None where it was not marked."""
    if not measured:
        return [()] * len(ids)
    return zip(*(map(line.summary.splits_ms.get, ids) for line in measured), strict=True)
