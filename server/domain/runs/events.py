"""Events: the append-only log that a run is.

The browser that holds the clock makes them, with an id of its own, and sends them as often as it
takes. Each carries both of the device's clocks: `mono_ms` runs evenly but restarts with every page
load (`boot_id`) and may stand still while the device sleeps; `wall_ms` goes on through sleep but
jumps when the clock is set. `seq` counts on over page loads and gives the order. What happened
when is derived from the log (see `run`), never stored.

Who watches a run (a coach on another device) adds events too. Those carry `at_ms`, the run's time
as the watcher saw it, and say nothing about the clocks: a watcher's device may be a year off.
"""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.ids import Id
from server.domain.base.text import Line

Kind = Literal[
    "start", "hold", "resume", "clock_step", "done", "ready", "incident", "note", "claim", "call",
    "score", "retract", "finish", "abandon", "about",
]  # fmt: skip
Incident = Literal["spill", "equipment", "forgot_words", "other"]
Verdict = Literal["heard", "missed", "wrong"]

DESK = "desk"
"""The device that the app's own pages are, in a log."""

INCIDENTS: dict[Incident, str] = {
    "spill": "Spill",
    "equipment": "Equipment",
    "forgot_words": "Forgot words",
    "other": "Other",
}
"""Incident -> the words that name it on a page."""

VERDICTS: dict[Verdict, str] = {"heard": "Heard", "missed": "Missed", "wrong": "Said wrong"}
"""What became of a claim in a run -> the words for it."""

NEEDS: dict[Kind, tuple[str, ...]] = {
    "start": (),
    "hold": ("at_ms",),
    "resume": (),
    "clock_step": ("step_ms", "cause"),
    "done": ("segment_id",),
    "ready": ("process_id",),
    "incident": ("what",),
    "note": ("text",),
    "claim": ("claim", "verdict"),
    "call": ("text",),
    "score": ("criterion", "points"),
    "retract": ("target_id",),
    "finish": (),
    "abandon": (),
    "about": (),
}
"""Kind -> the fields an event of that kind must carry beside the common ones."""

WATCHED: frozenset[Kind] = frozenset({"incident", "note", "claim", "call", "score", "retract"})
"""What one who watches may record."""

OUT_OF_TIME: frozenset[Kind] = frozenset({"note", "about"})
"""What is written of a run at any time and on any device: no part of its clock."""

_TIED: frozenset[Kind] = frozenset({"hold", "resume"})
"""What ties a page load to the run, at `at_ms` where the wall clock cannot be right."""

MOST_IN_BATCH = 200

MOST_EVENTS = 10_000
"""In one log: a mark a second for nearly three hours."""

LONGEST_NOTE = 2000
"""Longest text an event can carry, in characters."""

LONGEST_CLAIM = 300
"""Longest key of a claim, in characters."""

LONGEST_WHO = 60
"""Longest name of a watcher, in characters."""


@dataclass(frozen=True)
class Event:
    """One thing recorded during a run.

    start       the clock starts; the device that says so holds it
    hold        another device takes the clock over, at `at_ms` by its own reckoning
    resume      the page was loaded again; ties the new boot's clock to the run, at `at_ms` where
                the wall clock cannot be right
    clock_step  the device's clocks moved apart by `step_ms`: it slept, or its clock was set
    done        segment `segment_id` is over; with the cause "plan" it went on by itself, with
                "heard" it was found in a recording and accepted
    ready       process `process_id` is ready
    incident    `what` went wrong (in `segment_id`)
    note        `text`, about the event `target_id` where one is named
    claim       what became of the claim under the key `claim`: heard, missed or said wrong
    call        `text` was called out to the presenter
    score       `points` for the criterion `criterion` of the rule sheet
    retract     `target_id` is taken back
    finish      the run is over; closes the last segment
    abandon     the run was broken off
    about       what the person says of the run as a whole once it is over: whether it `counts`
                (not named while they left that open), its `label` and `venue`, and a remark as
                `text`; the latest one stands
    """

    # Strict: a "seq" of true or "3" would be stored as another number than the device holds.
    __pydantic_config__ = ConfigDict(extra="forbid", strict=True)

    id: Id
    device_id: Id
    boot_id: Id
    seq: Annotated[int, Field(ge=0, le=10_000_000)]
    kind: Kind
    wall_ms: Annotated[int, Field(ge=0, le=2**53)]
    mono_ms: Annotated[float, Field(ge=0, le=2**53, allow_inf_nan=False)]
    segment_id: Id | None = None
    process_id: Id | None = None
    target_id: Id | None = None
    what: Incident | None = None
    text: Annotated[str, Field(max_length=LONGEST_NOTE)] | None = None
    step_ms: Annotated[float, Field(ge=-(2**53), le=2**53, allow_inf_nan=False)] | None = None
    cause: Literal["sleep", "set", "plan", "heard"] | None = None
    at_ms: Annotated[float, Field(ge=0, le=2**53, allow_inf_nan=False)] | None = None
    who: Annotated[str, Field(max_length=LONGEST_WHO)] | None = None
    """Who watches, by the name given on joining."""
    claim: Annotated[str, Field(min_length=1, max_length=LONGEST_CLAIM)] | None = None
    verdict: Verdict | None = None
    criterion: Id | None = None
    counts: bool | None = None
    label: Line | None = None
    venue: Line | None = None
    points: Annotated[float, Field(ge=-10_000, le=10_000, allow_inf_nan=False)] | None = None
    from_run: Id | None = None
    """The run whose plan this one goes by, where the device began it while the server was away."""

    def __post_init__(self) -> None:
        refuse_if(
            Fault(name, f"An event of kind “{self.kind}” needs {name}.")
            for name in NEEDS[self.kind]
            if getattr(self, name) is None
        )
        if self.at_ms is not None and self.kind not in WATCHED | _TIED:
            raise InvalidInput.of("at_ms", f"Who watches cannot mark “{self.kind}”.")
        if self.from_run is not None and self.kind != "start":
            raise InvalidInput.of("from_run", "Only a start names the run whose plan is gone by.")

    @property
    def is_about(self) -> bool:
        """Whether it is a note about another event."""
        return self.kind == "note" and self.target_id is not None

    @property
    def is_watched(self) -> bool:
        """Whether it comes from one who watches the run, not from a device that holds its clock."""
        return self.at_ms is not None and self.kind in WATCHED


def start_of(log: Iterable[Event]) -> Event | None:
    """The start of the run: the first one in its log; None before it."""
    return next((event for event in log if event.kind == "start"), None)


def event_document(event: Event) -> dict[str, object]:
    """`event` as a JSON object without the fields it does not use."""
    pairs = ((item.name, getattr(event, item.name)) for item in fields(event))
    return {name: value for name, value in pairs if value is not None}


def is_desk(device_id: str) -> bool:
    """Whether a name in a log is one that pages alone write under, and no device may take."""
    return device_id == DESK or device_id.startswith(f"{DESK}-")
