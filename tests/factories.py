"""Small values for tests, with a default for everything that a test does not speak of."""

from collections.abc import Mapping
from dataclasses import replace

from server.domain.routine.plan import Plan
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet
from server.domain.runs.events import Event
from server.domain.runs.summary import RunLine, RunSummary
from server.domain.whole.exchange import RunRecord
from server.domain.whole.routine_file import RoutineFile

NOW_MS = 1_790_000_000_000
"""The time it is in tests, unless one says otherwise: a day in September 2026."""

RULES = RuleSheet(id="rules", name="House rules", slot_s=600, target_s=590)


def make_segment(segment_id, likely_s=60.0, **changes):
    return replace(Segment(segment_id, f"Segment {segment_id}", Spread(likely_s)), **changes)


def make_routine(*, routine_id="r1", segments=("s1", "s2", "s3"), **changes):
    """A routine of one-minute segments; `segments` holds ids or segments."""
    made = tuple(make_segment(each) if isinstance(each, str) else each for each in segments)
    given = {"name": "Low tide", "rule_sheet_id": RULES.id, **changes}
    return Routine(id=routine_id, segments=made, **given)


def make_process(*, process_id="p1", after="s1", before="s3", **changes):
    return replace(Process(process_id, "Drip", Spread(80), after, before), **changes)


def make_events(
    ends_s: Mapping[str, float] | None = None,
    *,
    total_s: float | None = None,
    closing="finish",
    ready_s: Mapping[str, float] | None = None,
    started_ms=NOW_MS,
    prefix="e",
):
    """The log of a run with segments ended and processes ready at these readings of the clock.

    It is closed at `total_s`; where that is None it is still running.
    """
    marks = [(0.0, "start", {})]
    marks += [(at_s, "done", {"segment_id": key}) for key, at_s in (ends_s or {}).items()]
    marks += [(at_s, "ready", {"process_id": key}) for key, at_s in (ready_s or {}).items()]
    marks.sort(key=lambda mark: mark[0])
    if total_s is not None:
        marks.append((total_s, closing, {}))
    return tuple(
        make_event(f"{prefix}{seq}", kind, seq=seq, at_s=at_s, started_ms=started_ms, **more)
        for seq, (at_s, kind, more) in enumerate(marks)
    )


def make_event(event_id, kind, *, seq=0, at_s=0.0, started_ms=NOW_MS, **more):
    return Event(
        id=event_id,
        device_id="tablet",
        boot_id="boot-1",
        seq=seq,
        kind=kind,
        wall_ms=started_ms + round(at_s * 1000),
        mono_ms=at_s * 1000,
        **more,
    )


def make_file(*, routine=None, rules=RULES, runs=None):
    """A file with one run of the routine, or with these event logs."""
    routine = routine or make_routine()
    logs = [make_events({"s1": 61.0}, total_s=180.0)] if runs is None else runs
    return RoutineFile(
        format="ninefifty-routine",
        version=1,
        routine=routine,
        rules=rules,
        plans={"k": Plan(routine, rules)} if logs else {},
        runs=tuple(
            RunRecord(f"run{number}", "k", NOW_MS + number, label=f"Run {number}", events=events)
            for number, events in enumerate(logs, 1)
        ),
    )


def make_line(
    total_s: float | None = 595.0, splits_s: Mapping[str, float] | None = None, **changes
):
    """A finished run as the comparison sees it, each split from the end of the one before."""
    splits_ms = {key: round(split_s * 1000) for key, split_s in (splits_s or {}).items()}
    ends_ms, clock_ms = {}, 0
    for key, split_ms in splits_ms.items():
        clock_ms += split_ms
        ends_ms[key] = clock_ms
    line = RunLine(
        id="run1",
        label="",
        notes="",
        source="stage",
        excluded=None,
        status="finished",
        created_ms=NOW_MS,
        started_ms=NOW_MS,
        total_ms=None if total_s is None else round(total_s * 1000),
        summary=RunSummary(ends_ms, splits_ms),
    )
    return replace(line, **changes)
