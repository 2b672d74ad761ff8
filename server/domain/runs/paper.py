"""A run that was timed on paper: its times, and the event log that is folded like any other.

So a run from paper is kept, compared and exported like one timed on stage. `paper_form` reads the
times from what was typed. Faults are named as the form's fields: `time-<segment id>`, `total`,
`ready-<process id>`, and for the incident in row n `at-<n>` and `note-<n>`.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from server.domain.base.durations import format_duration
from server.domain.base.errors import Fault, refuse_if
from server.domain.routine.routine import Routine
from server.domain.runs.events import LONGEST_NOTE, Event, Incident, Kind

LONGEST_RUN_S = 2 * 3600.0
"""A run beyond two hours is a slip of the keyboard: 9:50:00 typed for 9:50."""

PAPER = "paper"
"""Device and boot of every event from paper: one sheet, one clock."""


@dataclass(frozen=True)
class PaperIncident:
    """Something that went wrong at `at_s` on the elapsed clock."""

    what: Incident
    at_s: float
    note: str = ""
    row: int = 0
    """Its row on the form, which a fault points at."""


@dataclass(frozen=True)
class PaperRun:
    """What a sheet says of a run, on the elapsed clock.

    `ends_s` holds the reading at the end of each segment that was noted (segment id -> s),
    `ready_s` the reading at which each process was ready (process id -> s).
    """

    total_s: float
    ends_s: Mapping[str, float] = field(default_factory=dict)
    ready_s: Mapping[str, float] = field(default_factory=dict)
    incidents: tuple[PaperIncident, ...] = ()
    broken_off: bool = False


def paper_events(
    routine: Routine, run: PaperRun, started_wall_ms: int, new_id: Callable[[], str]
) -> tuple[Event, ...]:
    """The event log of a run timed on paper; its fold gives exactly the times of `run`, to 1 ms.

    Raises InvalidInput with every fault found: a reading that goes backwards, lies after the
    total, is negative or beyond LONGEST_RUN_S; a process ready before it started.
    """
    refuse_if(paper_faults(routine, run))
    closing = _Mark(whole_ms(run.total_s), "abandon" if run.broken_off else "finish")
    marks = sorted(_marks(routine, run), key=lambda mark: mark.at_ms)
    return tuple(
        Event(
            id=new_id(),
            device_id=PAPER,
            boot_id=PAPER,
            seq=seq,
            kind=mark.kind,
            wall_ms=started_wall_ms + mark.at_ms,
            mono_ms=float(mark.at_ms),
            segment_id=mark.segment_id,
            process_id=mark.process_id,
            what=mark.what,
            text=mark.text,
        )
        for seq, mark in enumerate([_Mark(0, "start"), *marks, closing])
    )


def paper_faults(routine: Routine, run: PaperRun) -> list[Fault]:
    """Everything that is wrong with the times of `run`; empty when they can be taken."""
    faults = _range_faults(run)
    if faults:
        return faults
    return [
        *_stranger_faults(routine, run),
        *_order_faults(routine, run),
        *_late_faults(run),
        *_ready_faults(routine, run),
        *_note_faults(run),
    ]


def _range_faults(run: PaperRun) -> list[Fault]:
    readings = [("total", run.total_s)]
    readings += [(f"time-{segment_id}", at_s) for segment_id, at_s in run.ends_s.items()]
    readings += [(f"ready-{process_id}", at_s) for process_id, at_s in run.ready_s.items()]
    readings += [(f"at-{incident.row}", incident.at_s) for incident in run.incidents]
    faults = []
    for name, at_s in readings:
        if at_s < 0:
            faults.append(Fault(name, "A time cannot be negative."))
        elif not at_s <= LONGEST_RUN_S:  # also catches "not a number"
            faults.append(Fault(name, "That is longer than two hours. Type minutes as 9:50."))
    if run.total_s == 0:
        faults.append(Fault("total", "The total must be longer than zero."))
    return faults


def _stranger_faults(routine: Routine, run: PaperRun) -> list[Fault]:
    segments = {segment.id for segment in routine.segments}
    processes = {process.id for process in routine.processes}
    return [
        *(
            Fault(f"time-{segment_id}", "This segment is not in the plan of the run.")
            for segment_id in run.ends_s
            if segment_id not in segments
        ),
        *(
            Fault(f"ready-{process_id}", "This process is not in the plan of the run.")
            for process_id in run.ready_s
            if process_id not in processes
        ),
    ]


def _order_faults(routine: Routine, run: PaperRun) -> list[Fault]:
    noted = [segment for segment in routine.segments if segment.id in run.ends_s]
    faults = []
    for earlier, later in pairwise(noted):
        before_s, after_s = run.ends_s[earlier.id], run.ends_s[later.id]
        if after_s < before_s:
            faults.append(
                Fault(
                    f"time-{later.id}",
                    f"{format_duration(after_s)} lies before the end of “{earlier.name}” at "
                    f"{format_duration(before_s)}. If these are durations, say so above.",
                )
            )
    return faults


def _late_faults(run: PaperRun) -> list[Fault]:
    latest_s = max(run.ends_s.values(), default=0.0)
    total = format_duration(run.total_s)
    faults = []
    if latest_s > run.total_s:
        reading = format_duration(latest_s)
        faults.append(Fault("total", f"The total is {total}, but a segment ends at {reading}."))
    after = [(f"ready-{process_id}", at_s) for process_id, at_s in run.ready_s.items()]
    after += [(f"at-{incident.row}", incident.at_s) for incident in run.incidents]
    faults += [
        Fault(name, f"That is after the end of the run at {total}.")
        for name, at_s in after
        if at_s > run.total_s
    ]
    return faults


def _ready_faults(routine: Routine, run: PaperRun) -> list[Fault]:
    faults = []
    for process in routine.processes:
        started_s = run.ends_s.get(process.after_segment_id or "")
        ready_s = run.ready_s.get(process.id)
        if started_s is not None and ready_s is not None and ready_s < started_s:
            start = format_duration(started_s)
            faults.append(Fault(f"ready-{process.id}", f"It only started at {start}."))
    return faults


def _note_faults(run: PaperRun) -> list[Fault]:
    return [
        Fault(f"note-{incident.row}", f"Keep it to {LONGEST_NOTE:,} characters.")
        for incident in run.incidents
        if len(incident.note) > LONGEST_NOTE
    ]


@dataclass(frozen=True)
class _Mark:
    """What an event from paper says, before it gets its place in the log."""

    at_ms: int
    kind: Kind
    segment_id: str | None = None
    process_id: str | None = None
    what: Incident | None = None
    text: str | None = None


def _marks(routine: Routine, run: PaperRun) -> list[_Mark]:
    ends = [
        _Mark(whole_ms(run.ends_s[segment.id]), "done", segment_id=segment.id)
        for segment in routine.segments
        if segment.id in run.ends_s
    ]
    ready = [
        _Mark(whole_ms(run.ready_s[process.id]), "ready", process_id=process.id)
        for process in routine.processes
        if process.id in run.ready_s
    ]
    incidents = [
        _Mark(
            whole_ms(incident.at_s),
            "incident",
            segment_id=_segment_at(routine, run, incident.at_s),
            what=incident.what,
            text=incident.note or None,
        )
        for incident in run.incidents
    ]
    return [*ends, *ready, *incidents]


def _segment_at(routine: Routine, run: PaperRun, at_s: float) -> str | None:
    """The segment that was going on at `at_s`, where the noted times leave no doubt."""
    started_s: float | None = 0.0
    last_id = routine.segments[-1].id if routine.segments else None
    for segment in routine.segments:
        end_s = run.ends_s.get(segment.id)
        if end_s is None and segment.id == last_id and not run.broken_off:
            end_s = run.total_s
        if started_s is not None and end_s is not None and started_s <= at_s <= end_s:
            return segment.id
        started_s = end_s
    return None


def whole_ms(seconds: float) -> int:
    """`seconds` as whole milliseconds, half up as the fold rounds."""
    return math.floor(seconds * 1000 + 0.5)
