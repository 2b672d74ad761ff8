"""What is prepared before the stage, as the person gives it: things, tasks, and how goods are sold.

It belongs to the routine, so that it is undone, copied and exported with it; what follows from it
is worked out in `server.domain.prepare`. Links to drinks, segments and ingredients that are gone
are passed over there.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from server.domain.base.amounts import Amount
from server.domain.base.durations import LAST_MS
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.text import LINE, Name, line_faults, name_faults

ThingKind = Literal["ingredient", "glass", "tool", "water", "cloth"]
Where = Literal["home", "there"]
Makes = Literal["ingredient", "glasses", "ice", "clear", "other"]

MOST_THINGS = 200
MOST_TASKS = 60
MOST_GOODS = 100
MOST_SIZES = 6
MOST_USES = 40
LONGEST_TASK_S = 90 * 86_400.0
"""A task beyond three months is a slip of the keyboard."""

Span = Annotated[float, Field(ge=0, le=LONGEST_TASK_S)]
Line = Annotated[str, Field(max_length=LINE)]
Days = Annotated[int, Field(ge=0, le=3650)]


@dataclass(frozen=True)
class Thing:
    """Something that must be on the bar, added by hand, with the segments that use it."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    how_many: Line = ""
    kind: ThingKind = "tool"
    segment_ids: Annotated[tuple[Id, ...], Field(max_length=MOST_USES)] = ()

    def __post_init__(self) -> None:
        refuse_if([*name_faults(self.name), *line_faults(self.how_many, "how_many")])


@dataclass(frozen=True)
class Task:
    """Something made ahead: by hand so long, by itself so long after that.

    `keeps_s` is how long the result keeps, by the person's own figure; None where it keeps for
    good. `shares` names what there is only one of (stove, freezer), taken until it is ready.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    hands_s: Span = 0.0
    alone_s: Span = 0.0
    keeps_s: Span | None = None
    keeps_at_c: Annotated[float, Field(ge=-80, le=110)] | None = None
    after_task_ids: Annotated[tuple[Id, ...], Field(max_length=MOST_TASKS)] = ()
    where: Where = "home"
    shares: Line = ""
    makes: Makes = "other"
    drink_id: Id | None = None
    ingredient_id: Id | None = None

    def __post_init__(self) -> None:
        faults = [*name_faults(self.name), *line_faults(self.shares, "shares")]
        for field, span_s in (
            ("hands", self.hands_s),
            ("alone", self.alone_s),
            ("keeps", self.keeps_s),
        ):
            if span_s is not None and not 0 <= span_s <= LONGEST_TASK_S:
                faults.append(Fault(field, "Up to 90 days."))
        if self.keeps_at_c is not None and not -80 <= self.keeps_at_c <= 110:
            faults.append(Fault("keeps_at", "A temperature lies between −80 and 110 °C."))
        refuse_if(faults)


@dataclass(frozen=True)
class Size:
    """A pack as it is sold; `price` in whatever currency the person keeps, None if not known."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    amount: Amount
    price: Annotated[float, Field(ge=0, le=1_000_000)] | None = None

    def __post_init__(self) -> None:
        faults = []
        if self.amount.value <= 0:
            faults.append(Fault("sizes", "A pack holds more than nothing."))
        if self.price is not None and not 0 <= self.price <= 1_000_000:
            faults.append(Fault("sizes", "A price lies between 0 and 1,000,000."))
        refuse_if(faults)


@dataclass(frozen=True)
class Good:
    """How something is bought. Under the name of an ingredient it is bought for that.

    `per_run` is how much of it a run takes, where no recipe says so. Days are how long it keeps,
    closed and opened; `each_run` says that it is bought fresh for every run.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Name
    sizes: Annotated[tuple[Size, ...], Field(max_length=MOST_SIZES)] = ()
    per_run: Amount | None = None
    closed_days: Days | None = None
    opened_days: Days | None = None
    each_run: bool = False
    not_bought: bool = False
    """Whether it is there already, or made from other things."""

    def __post_init__(self) -> None:
        faults = name_faults(self.name)
        if len(self.sizes) > MOST_SIZES:
            faults.append(Fault("sizes", f"At most {MOST_SIZES} sizes fit here."))
        for field, days in (("closed", self.closed_days), ("opened", self.opened_days)):
            if days is not None and not 0 <= days <= 3650:
                faults.append(Fault(field, "Between 0 and 3,650 days."))
        refuse_if(faults)


@dataclass(frozen=True)
class Journey:
    """When the person is on stage, and what lies right before it."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    stage_ms: Annotated[int, Field(ge=0, le=LAST_MS)] | None = None
    travel_s: Span = 0.0
    set_up_s: Span = 0.0
    waiting_s: Span = 0.0
    from_hour: Annotated[int, Field(ge=0, le=23)] = 7
    """From this hour of the day hands are at work ..."""
    to_hour: Annotated[int, Field(ge=1, le=24)] = 22
    """... and up to this one."""

    def __post_init__(self) -> None:
        faults = []
        if not (0 <= self.from_hour <= 23 and 1 <= self.to_hour <= 24):
            faults.append(Fault("to_hour", "Hours of the day go from 0 to 24."))
        elif self.from_hour >= self.to_hour:
            faults.append(Fault("to_hour", f"The day ends before it begins at {self.from_hour}."))
        for field in ("travel", "set_up", "waiting"):
            if not 0 <= getattr(self, f"{field}_s") <= LONGEST_TASK_S:
                faults.append(Fault(field, "Up to 90 days."))
        refuse_if(faults)


Count = Annotated[int, Field(ge=0, le=1000)]


@dataclass(frozen=True)
class Preparation:
    """All that is kept of what comes before the stage."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    reserve_percent: Annotated[float, Field(ge=0, le=500)] = 10.0
    """So much more of every ingredient than the slot's serves take."""
    spare_glasses: Annotated[int, Field(ge=0, le=100)] = 1
    left_out: Annotated[tuple[Line, ...], Field(max_length=MOST_THINGS)] = ()
    """Keys of things that the recipes ask for and the person does without."""
    things: Annotated[tuple[Thing, ...], Field(max_length=MOST_THINGS)] = ()
    tasks: Annotated[tuple[Task, ...], Field(max_length=MOST_TASKS)] = ()
    journey: Journey = Journey()
    goods: Annotated[tuple[Good, ...], Field(max_length=MOST_GOODS)] = ()
    practice_runs: Count = 6
    dress_runs: Count = 1
    events: Count = 1

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = []
        if not 0 <= self.reserve_percent <= 500:
            faults.append(Fault("reserve", "A reserve lies between 0 and 500 %."))
        if not 0 <= self.spare_glasses <= 100:
            faults.append(Fault("spare", "Between 0 and 100 spare ones."))
        for field in ("practice_runs", "dress_runs", "events"):
            if not 0 <= getattr(self, field) <= 1000:
                faults.append(Fault(field, "Between 0 and 1,000 runs."))
        for words, parts, most in (
            ("things", self.things, MOST_THINGS),
            ("tasks", self.tasks, MOST_TASKS),
            ("goods", self.goods, MOST_GOODS),
        ):
            if len(parts) > most:
                faults.append(Fault("name", f"At most {most} {words} fit here."))
        ids = [thing.id for thing in self.things] + [task.id for task in self.tasks]
        ids += [good.id for good in self.goods]
        if len(set(ids)) < len(ids):
            faults.append(Fault("id", "Two parts carry the same id."))
        circle = circle_of(self.tasks)
        if circle:
            names = " → ".join(f"“{name}”" for name in circle)
            faults.append(
                Fault("after", f"These wait for one another: {names}. Take one of them away.")
            )
        return faults


def circle_of(tasks: Iterable[Task]) -> tuple[str, ...]:
    """The names of tasks that wait for one another in a circle; empty where there is none."""
    names = {task.id: task.name for task in tasks}
    waits = {task.id: [each for each in task.after_task_ids if each in names] for task in tasks}
    try:
        TopologicalSorter(waits).prepare()
    except CycleError as error:
        return tuple(names[each] for each in error.args[1])
    return ()


NOTHING_PREPARED = Preparation()
