"""Runs beside each other and beside the plan; segments are matched by id.

All runs are measured against the rule sheet as it stands now, so that they compare on one ground.
Times of runs are ms, times of the plan seconds.
"""

from collections.abc import Sequence
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
        segments=(*_planned(routine, measured), *_retired(routine, lines, measured, old_names)),
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


def _planned(routine: Routine, counted: Sequence[RunLine]) -> list[ComparedSegment]:
    return [
        ComparedSegment(segment.id, segment.name, segment, _level(segment.id, counted))
        for segment in routine.segments
    ]


def _retired(
    routine: Routine,
    lines: Sequence[RunLine],
    counted: Sequence[RunLine],
    old_names: dict[str, str],
) -> list[ComparedSegment]:
    """Segments that runs have but the plan no longer has, in the order they first appear."""
    planned = {segment.id for segment in routine.segments}
    # Mostly there is none: whole sets are held against each other, not each mark of every run.
    seen = dict.fromkeys(
        each
        for line in lines
        if not planned.issuperset(line.summary.ends_ms)
        for each in line.summary.ends_ms
        if each not in planned
    )
    return [
        ComparedSegment(each, old_names.get(each, "a former segment"), None, _level(each, counted))
        for each in seen
    ]


def _level(segment_id: str, counted: Sequence[RunLine]) -> Level | None:
    splits = [line.summary.splits_ms.get(segment_id) for line in counted]
    return describe([split for split in splits if split is not None])
