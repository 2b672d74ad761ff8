"""What the driver did, and whether the server tells the same story."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from server.domain.runs.clock import elapsed_times, in_order
from server.domain.runs.events import Event
from server.domain.runs.run import RunState
from tests.soak.device import Press

TOLERANCE_MS = 50.0
MARKS = {"start", "done", "ready", "incident", "retract", "finish"}
INCIDENTS = {"1": "spill", "2": "equipment", "3": "forgot_words", "4": "other"}


@dataclass(frozen=True)
class Mark:
    """A mark the driver made: its kind, what it names, and the press."""

    kind: str
    names: str
    press: Press


@dataclass
class Truth:
    """The run as the driver made it, mark by mark."""

    segment_ids: Sequence[str]
    process: dict[str, str | None]
    log: list[Mark] = field(default_factory=list)
    standing: list[Mark] = field(default_factory=list)

    @property
    def is_finished(self) -> bool:
        """Whether the last press finished the run."""
        return any(mark.kind == "finish" for mark in self.standing)

    @property
    def at_last_segment(self) -> bool:
        """Whether the next press would finish the run."""
        return self._done() == len(self.segment_ids) - 1

    def means(self, what: str) -> bool:
        """Whether a press marks something just now."""
        if what == "undo":
            return any(mark.kind != "start" for mark in self.standing)
        if what == "ready":
            kinds = {mark.kind for mark in self.standing}
            return self._done() > 0 and "ready" not in kinds
        return True

    def take(self, press: Press) -> None:
        """Note down a press that means something."""
        mark = self._mark(press)
        self.log.append(mark)
        if mark.kind == "retract":
            self.standing.pop()
        else:
            self.standing.append(mark)

    def _done(self) -> int:
        return sum(mark.kind == "done" for mark in self.standing)

    def _mark(self, press: Press) -> Mark:
        if press.what == "undo":
            return Mark("retract", "", press)
        if press.what == "ready":
            return Mark("ready", self.process["id"] or "", press)
        if press.what.startswith("incident"):
            return Mark("incident", INCIDENTS[press.what[-1]], press)
        if not self.log:
            return Mark("start", "", press)
        if self.at_last_segment:
            return Mark("finish", "", press)
        return Mark("done", self.segment_ids[self._done()], press)


@dataclass(frozen=True)
class Verdict:
    """What is wrong with a run, in words; how far its times lay outside the presses, in ms.

    `press_ms` is how long each press took the driver: what it cannot know more closely.
    """

    faults: tuple[str, ...]
    worst_ms: float
    press_ms: tuple[float, ...]

    @property
    def marks(self) -> int:
        """How many marks the driver made."""
        return len(self.press_ms)


def judge(truth: Truth, events: Sequence[Event], state: RunState) -> Verdict:
    """Hold what the server has of a run to what the driver did.

    Not one mark may be lost, doubled or out of order; undo takes back what it took back; and each
    mark lies, to 50 ms, where its press lay between two readings of the driver's own clock. The
    rule is the same across page loads: a page that was loaded again goes by the device's wall
    clock, less the steps that were noticed, and that must agree too.
    """
    log = [event for event in in_order(events) if event.kind in MARKS]
    told = [(event.kind, _names(event)) for event in log]
    done = [(mark.kind, mark.names) for mark in truth.log]
    if told != done:
        fault = f"the server tells {told}, the driver did {done}"
        return Verdict((fault,), 0.0, press_durations(truth))
    times = elapsed_times(in_order(events))
    errors = [
        off_by(mark.press, truth.log[0].press, times[event.id])
        for mark, event in zip(truth.log, log, strict=True)
    ]
    faults = [
        f"{mark.kind} {mark.names} is {error:.0f} ms off"
        for mark, error in zip(truth.log, errors, strict=True)
        if error > TOLERANCE_MS
    ]
    return Verdict((*faults, *_state_faults(truth, state)), max(errors), press_durations(truth))


def press_durations(truth: Truth) -> tuple[float, ...]:
    """How long each press took, in ms."""
    presses = [mark.press for mark in truth.log]
    return tuple(1000 * (press.until_s - press.from_s) for press in presses)


def off_by(press: Press, start: Press, elapsed_ms: float) -> float:
    """How far, in ms, an elapsed time lies outside what the presses allow; 0 inside."""
    least_ms = (press.from_s - start.until_s) * 1000
    most_ms = (press.until_s - start.from_s) * 1000
    return max(0.0, least_ms - elapsed_ms, elapsed_ms - most_ms)


def _names(event: Event) -> str:
    return event.segment_id if event.kind == "done" else event.process_id or event.what or ""


def _state_faults(truth: Truth, state: RunState) -> list[str]:
    """Where the fold of the server's log is not the run that the driver left standing."""
    kinds = [mark.kind for mark in truth.standing]
    told = {
        "status": (state.status, "finished"),
        "segments": (sum(end is not None for end in state.ends_ms), len(truth.segment_ids)),
        "incidents": ([i.what for i in state.incidents], truth_incidents(truth)),
        "ready": (state.processes[0].ready_ms is not None, "ready" in kinds),
        "sum of splits": (sum(split or 0 for split in state.splits_ms), state.total_ms),
    }
    return [
        f"{name}: {ours} is not {theirs}" for name, (ours, theirs) in told.items() if ours != theirs
    ]


def truth_incidents(truth: Truth) -> list[str]:
    """The incidents that were not taken back."""
    return [mark.names for mark in truth.standing if mark.kind == "incident"]
