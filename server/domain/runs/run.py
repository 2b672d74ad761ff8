"""A run: the state that its event log folds to.

The same fold is written once more in `static/js/run/fold.js` for the page that holds the clock;
`tests/run_cases.json` holds both to the same answers. Any order, duplication or splitting of the
events gives the same state, because the log is put in order by `seq` first. What watchers recorded
is taken afterwards: it stands at the time they saw and moves nothing else.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from server.domain.base.durations import LONGEST_MS
from server.domain.routine.routine import Routine
from server.domain.runs.clock import elapsed_times, in_order
from server.domain.runs.events import Event, Incident
from server.domain.runs.holding import counted
from server.domain.runs.remarks import CallState, ClaimState, Remarks, ScoreState

Status = Literal["waiting", "running", "finished", "abandoned"]

_UNDOABLE = {"done", "ready", "incident", "finish", "abandon"}
_REMARKS = {"claim", "call", "score"}
_RETRACTABLE = _UNDOABLE | _REMARKS | {"note"}


@dataclass(frozen=True)
class ProcessLink:
    """What the fold must know of a parallel process."""

    id: str
    after_segment_id: str | None
    before_segment_id: str | None


@dataclass(frozen=True)
class Outline:
    """What the fold must know of a plan: segments in order, and where processes hang."""

    segment_ids: tuple[str, ...]
    processes: tuple[ProcessLink, ...] = ()


@dataclass(frozen=True)
class ProcessState:
    """When a process started, was ready, and was needed; ms elapsed, None while unknown."""

    process_id: str
    started_ms: int | None
    ready_ms: int | None
    due_ms: int | None

    @property
    def missed(self) -> bool:
        """Whether its product was needed before it was ready."""
        return self.due_ms is not None and (self.ready_ms is None or self.ready_ms > self.due_ms)


@dataclass(frozen=True)
class IncidentState:
    """Something that went wrong, and the note written about it later."""

    id: str
    what: Incident
    elapsed_ms: int
    segment_id: str | None
    text: str
    who: str


@dataclass(frozen=True)
class NoteState:
    """A note about the run as a whole or about a moment of it; `who` is empty for the presenter."""

    id: str
    elapsed_ms: int
    segment_id: str | None
    text: str
    who: str


@dataclass(frozen=True)
class RunState:
    """A run as far as its events tell; `ends_ms` and `splits_ms` follow the plan's segments."""

    status: Status
    started_wall_ms: int | None
    ends_ms: tuple[int | None, ...]
    splits_ms: tuple[int | None, ...]
    current: int | None
    processes: tuple[ProcessState, ...]
    incidents: tuple[IncidentState, ...]
    notes: tuple[NoteState, ...]
    claims: tuple[ClaimState, ...]
    calls: tuple[CallState, ...]
    scores: tuple[ScoreState, ...]
    total_ms: int | None
    undo_id: str | None


def outline_of(routine: Routine) -> Outline:
    """The outline of a routine's plan."""
    return Outline(
        segment_ids=tuple(segment.id for segment in routine.segments),
        processes=tuple(
            ProcessLink(process.id, process.after_segment_id, process.before_segment_id)
            for process in routine.processes
        ),
    )


def fold(events: Iterable[Event], outline: Outline) -> RunState:
    """The state of the run after `events`, given in any order and as often as you like."""
    log = in_order(events)
    return read(log, elapsed_times(log), outline)[0].state()


def read(
    log: Sequence[Event], times: Mapping[str, float], outline: Outline
) -> tuple["Marks", set[tuple[str | None, bool]]]:
    """What an ordered log marks, with its events' times; and what was taken back in it: id, and
    whether by a watcher.
    """
    marked = counted([event for event in log if not event.is_watched], times)
    watched = [event for event in log if event.is_watched]
    # Nobody takes back what somebody else recorded: the watchers neither the presenter's marks, nor
    # the presenter's undo theirs.
    retracted = {
        (event.target_id, event.is_watched)
        for event in (*marked, *watched)
        if event.kind == "retract"
    }
    marks = Marks(outline)
    for event in _in_turn(marked, watched):
        is_back = event.kind in _RETRACTABLE and (event.id, event.is_watched) in retracted
        if event.id in times and not is_back:
            marks.take(event, times[event.id])
    return marks, retracted


def _in_turn(marked: Sequence[Event], watched: Sequence[Event]) -> list[Event]:
    """What was marked, then what watchers saw, then what was written about either."""
    seen = sorted(watched, key=lambda event: (event.at_ms, event.seq, event.id))
    about = [event for event in marked if event.is_about]
    return [event for event in marked if not event.is_about] + seen + about


def _whole_ms(ms: float) -> int:
    # Not round(): Python rounds halves to even, JavaScript up, and both folds must agree.
    return math.floor(ms + 0.5)


class Marks:
    """What has been marked so far while the log is read in order."""

    def __init__(self, outline: Outline) -> None:
        self._outline = outline
        self._index = {segment_id: i for i, segment_id in enumerate(outline.segment_ids)}
        self._ends: list[int | None] = [None] * len(outline.segment_ids)
        self._splits = self._ends.copy()
        self._ready: dict[str, int] = {}
        self._incidents: dict[str, IncidentState] = {}
        self._notes: list[NoteState] = []
        self._is_heard = False
        self._status: Status = "waiting"
        self._started_wall_ms: int | None = None
        self._total_ms: int | None = None
        self._undo_id: str | None = None
        self._remarks = Remarks()

    def take(self, event: Event, time_ms: float) -> None:
        """Take the next event, which happened at `time_ms`."""
        at_ms = _whole_ms(time_ms)
        if event.kind == "start" and self._status == "waiting":
            self._status, self._started_wall_ms = "running", event.wall_ms
            self._is_heard = event.cause == "heard"
        elif event.kind == "note":
            self._note(event, at_ms)
        elif event.kind in _REMARKS:
            self._remarks.take(event, at_ms)
        elif event.is_watched:
            self._incident(event, at_ms)
        elif self._status == "running" and self._mark(event, at_ms):
            self._undo_id = event.id

    def _mark(self, event: Event, at_ms: int) -> bool:
        """Take a mark of a running run; False where it says nothing new."""
        if event.kind == "done":
            return self._done(event.segment_id, at_ms)
        if event.kind == "ready":
            return self._is_ready(event.process_id, at_ms)
        if event.kind == "incident":
            return self._incident(event, at_ms)
        if event.kind in ("finish", "abandon"):
            self._close(event.kind == "finish", at_ms)
            return True
        return False

    def _done(self, segment_id: str | None, at_ms: int) -> bool:
        index = self._index.get(segment_id or "")
        if index is None or self._ends[index] is not None:
            return False
        self._end(index, at_ms)
        return True

    def _is_ready(self, process_id: str | None, at_ms: int) -> bool:
        known = any(process.id == process_id for process in self._outline.processes)
        if process_id is None or not known or process_id in self._ready:
            return False
        self._ready[process_id] = at_ms
        return True

    def _incident(self, event: Event, at_ms: int) -> bool:
        if event.what is None:
            return False
        self._incidents[event.id] = IncidentState(
            event.id, event.what, at_ms, event.segment_id, event.text or "", event.who or ""
        )
        return True

    def _close(self, finished: bool, at_ms: int) -> None:
        self._total_ms = at_ms
        self._status = "finished" if finished else "abandoned"
        last = len(self._ends) - 1
        if finished and last >= 0 and self._ends[last] is None and self._start(last) is not None:
            self._end(last, at_ms)

    def _note(self, event: Event, at_ms: int) -> None:
        text = event.text or ""
        about = self._incidents.get(event.target_id or "")
        if about is not None:
            self._incidents[about.id] = replace(about, text=text)
        else:
            note = NoteState(event.id, at_ms, event.segment_id, text, event.who or "")
            self._notes.append(note)

    def _start(self, index: int) -> int | None:
        """When segment `index` started: at the end of the one before it, if that was marked."""
        return 0 if index == 0 else self._ends[index - 1]

    def _end(self, index: int, at_ms: int) -> None:
        """Segment `index` ended, and with it what it and the one after it took is known anew."""
        # Kept along: they are asked for after every mark, for all segments.
        self._ends[index] = at_ms
        for each in range(index, min(index + 2, len(self._ends))):
            self._splits[each] = self._split(each)

    def _split(self, index: int) -> int | None:
        """How long segment `index` took; None where marks out of the plan's order do not tell.

        Nor do clocks that were a day apart or more: nobody took so long over a segment.
        """
        start_ms, end_ms = self._start(index), self._ends[index]
        split = None if start_ms is None or end_ms is None else end_ms - start_ms
        return split if split is not None and 0 <= split <= LONGEST_MS else None

    def _current(self) -> int | None:
        if self._status != "running":
            return None
        following = len(self._ends)
        while following and self._ends[following - 1] is None:
            following -= 1
        return following if following < len(self._ends) else None

    def _process(self, link: ProcessLink) -> ProcessState:
        after = self._index.get(link.after_segment_id or "")
        before = self._index.get(link.before_segment_id or "")
        ready_ms = self._ready.get(link.id)
        # In a recording nobody hears that a process is ready: it is not late for that.
        is_untold = self._status == "waiting" or (self._is_heard and ready_ms is None)
        return ProcessState(
            process_id=link.id,
            started_ms=None if after is None else self._ends[after],
            ready_ms=ready_ms,
            due_ms=None if before is None or is_untold else self._start(before),
        )

    def state(self) -> RunState:
        """The state as it is by now."""
        return RunState(
            status=self._status,
            started_wall_ms=self._started_wall_ms,
            ends_ms=tuple(self._ends),
            splits_ms=tuple(self._splits),
            current=self._current(),
            processes=tuple(self._process(link) for link in self._outline.processes),
            incidents=tuple(sorted(self._incidents.values(), key=lambda each: each.elapsed_ms)),
            notes=tuple(self._notes),
            claims=self._remarks.claims(),
            calls=self._remarks.calls(),
            scores=self._remarks.scores(),
            total_ms=self._total_ms,
            undo_id=self._undo_id,
        )
