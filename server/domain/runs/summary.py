"""What is kept of a run for comparing it: times by segment id, misses, incidents.

Derived once when events arrive, so that a page over hundreds of runs never folds a log.
"""

from collections.abc import Collection
from dataclasses import dataclass, field, replace
from functools import cached_property

from pydantic import ConfigDict

from server.domain.base.durations import LONGEST_MS
from server.domain.routine.plan import RoutinePart
from server.domain.runs.counting import DOUBTS, Doubt, counts, is_broken_off
from server.domain.runs.events import Verdict
from server.domain.runs.labels import NOTHING_SAID, Occasion
from server.domain.runs.remark_lines import segment_of_incident
from server.domain.runs.run import Outline, RunState, Status


@dataclass(frozen=True)
class RunSummary:
    """Times in ms. `ends_ms` and `splits_ms` hold marked segments only, in the plan's order."""

    __pydantic_config__ = ConfigDict(extra="ignore")

    ends_ms: dict[str, int]
    splits_ms: dict[str, int]
    missed: tuple[str, ...] = ()
    """Ids of the processes whose product was needed before it was ready."""
    incidents: tuple[str, ...] = ()
    """What went wrong, in order of time."""
    incident_segments: tuple[str, ...] = ()
    """In which segment each of them happened; empty where that is not known."""
    process_ms: dict[str, int] = field(default_factory=dict)
    """Id of a process -> how long it took, where both its ends were marked."""
    claims: dict[str, Verdict] = field(default_factory=dict)
    """Key of a claim -> what became of it, where someone ticked it."""
    incidents_ms: tuple[int, ...] = ()
    """When that was; empty for runs that were kept before this was noted."""
    part: RoutinePart | None = None
    """Which part of the plan it was a run of; None for the whole."""
    part_doubt: Doubt = ""
    """What speaks against the splits of a part, as `RunLine.doubt` against a whole run."""

    def without(self, left_out: Collection[str]) -> "RunSummary":
        """The same without the splits of these segments; when each ended is known all the same."""
        kept = {key: split for key, split in self.splits_ms.items() if key not in left_out}
        return replace(self, splits_ms=kept)


@dataclass(frozen=True)
class RunLine:
    """A run as a line of a list: nothing here needs its events or its plan.

    `summary` is without the splits that the person left out (`occasion.left_out`).
    """

    id: str
    label: str
    notes: str
    source: str
    excluded: bool | None
    """Whether the person took it out of the figures; None where they said nothing of it."""
    status: Status
    created_ms: int
    started_ms: int | None
    total_ms: int | None
    summary: RunSummary
    occasion: Occasion = NOTHING_SAID
    doubt: Doubt = ""
    """What speaks against counting it (see `counting`)."""

    @cached_property
    def counts(self) -> bool:
        """Whether the run enters figures: every one that is made of runs asks this."""
        return counts(self.status, self.total_ms, self.excluded, self.doubt)

    @cached_property
    def splits_count(self) -> bool:
        """Whether its splits enter figures of segments: those of a part do, not its total."""
        if self.summary.part is None:
            return self.counts
        return counts(self.status, self.total_ms, self.excluded, self.summary.part_doubt)

    @property
    def may_be_left_out(self) -> bool:
        """Whether there is something in the figures, or in pictures, to take it out of."""
        return self.is_attempt or self.splits_count

    @property
    def broken_off(self) -> bool:
        """Whether it is an attempt that was broken off."""
        return is_broken_off(self.status, self.excluded, self.doubt)

    @property
    def is_attempt(self) -> bool:
        """Whether it counts or was broken off: such runs are drawn, and held against a goal."""
        return self.counts or self.broken_off

    @property
    def is_open(self) -> bool:
        """Whether it was started and never ended."""
        return self.status == "running"

    @property
    def why_not(self) -> str:
        """Why it does not count, in words; empty where it does."""
        if self.counts:
            return ""
        if self.summary.part is not None:
            return self._why_only_a_part(self.summary.part)
        if self.total_ms is not None and self.total_ms > LONGEST_MS:
            return "not counted: longer than a day"
        if self.excluded:
            return "not counted"
        if self.status != "finished":
            return _OPEN.get(self.status, "broken off")
        if self.doubt == "unmarked":
            return "broken off: most segments not marked"
        return f"not counted: {DOUBTS.get(self.doubt, 'no finish')}"

    def _why_only_a_part(self, part: RoutinePart) -> str:
        if self.splits_count or self.status == "waiting":
            return part.words
        if self.status != "finished":
            return f"{part.words}, {_OPEN.get(self.status, 'broken off')}"
        return f"{part.words}, not counted"


_OPEN: dict[Status, str] = {"running": "still running", "waiting": "not started"}


def summarise(state: RunState, outline: Outline) -> RunSummary:
    """The summary of a run's state."""
    return RunSummary(
        ends_ms=_marked(outline.segment_ids, state.ends_ms),
        splits_ms=_marked(outline.segment_ids, state.splits_ms),
        missed=tuple(process.process_id for process in state.processes if process.missed),
        incidents=tuple(incident.what for incident in state.incidents),
        incident_segments=tuple(
            segment_of_incident(incident, state, outline.segment_ids) or ""
            for incident in state.incidents
        ),
        claims={each.claim: each.verdict for each in state.claims},
        process_ms=_process_ms(state),
        incidents_ms=tuple(incident.elapsed_ms for incident in state.incidents),
    )


def _process_ms(state: RunState) -> dict[str, int]:
    return {
        process.process_id: process.ready_ms - process.started_ms
        for process in state.processes
        if process.started_ms is not None and process.ready_ms is not None
        if process.ready_ms - process.started_ms <= LONGEST_MS
    }


def _marked(ids: tuple[str, ...], times_ms: tuple[int | None, ...]) -> dict[str, int]:
    pairs = zip(ids, times_ms, strict=True)
    return {segment_id: time_ms for segment_id, time_ms in pairs if time_ms is not None}
