"""Events: the append-only log that a run is.

The browser that holds the clock makes them, with an id of its own, and sends them as often as it
takes. Each carries both of the device's clocks: `mono_ms` runs evenly but restarts with every page
load (`boot_id`) and may stand still while the device sleeps; `wall_ms` goes on through sleep but
jumps when the clock is set. `seq` counts on over page loads and gives the order. What happened
when is derived from the log (see `run`), never stored.
"""

from dataclasses import dataclass, fields
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from server.domain.errors import Fault, refuse_if

Id = Annotated[str, Field(min_length=1, max_length=64, pattern=r"^[A-Za-z0-9_-]+$")]
Kind = Literal[
    "start", "resume", "clock_step", "done", "ready", "incident", "note", "retract", "finish",
    "abandon",
]  # fmt: skip
Incident = Literal["spill", "equipment", "forgot_words", "other"]

INCIDENTS: dict[Incident, str] = {
    "spill": "Spill",
    "equipment": "Equipment",
    "forgot_words": "Forgot words",
    "other": "Other",
}
"""Incident -> the words that name it on a page."""

NEEDS: dict[Kind, tuple[str, ...]] = {
    "start": (),
    "resume": (),
    "clock_step": ("step_ms", "cause"),
    "done": ("segment_id",),
    "ready": ("process_id",),
    "incident": ("what",),
    "note": ("text",),
    "retract": ("target_id",),
    "finish": (),
    "abandon": (),
}
"""Kind -> the fields an event of that kind must carry beside the common ones."""

MOST_IN_BATCH = 200

LONGEST_NOTE = 2000
"""Longest text an event can carry, in characters."""


@dataclass(frozen=True)
class Event:
    """One thing recorded during a run.

    start       the clock starts
    resume      the page was loaded again; ties the new boot's clock to the run
    clock_step  the device's clocks moved apart by `step_ms`: it slept, or its clock was set
    done        segment `segment_id` is over; with the cause "plan" it went on by itself
    ready       process `process_id` is ready
    incident    `what` went wrong (in `segment_id`)
    note        `text`, about the event `target_id` where one is named
    retract     `target_id` is taken back
    finish      the run is over; closes the last segment
    abandon     the run was broken off
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
    cause: Literal["sleep", "set", "plan"] | None = None

    def __post_init__(self) -> None:
        refuse_if(
            Fault(name, f"An event of kind “{self.kind}” needs {name}.")
            for name in NEEDS[self.kind]
            if getattr(self, name) is None
        )


def event_document(event: Event) -> dict[str, object]:
    """`event` as a JSON object without the fields it does not use."""
    pairs = ((item.name, getattr(event, item.name)) for item in fields(event))
    return {name: value for name, value in pairs if value is not None}
