"""What is prepared before the stage, as the person gives it: things, tasks, and how goods are sold.

It belongs to the routine, so that it is undone, copied and exported with it; what follows from it
is worked out in `server.domain.prepare`. Links to drinks, segments and ingredients that are gone
are passed over there.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Annotated, Literal

from pydantic import Field

from server.domain.base.amounts import Amount
from server.domain.base.documents import Document
from server.domain.base.durations import DAY_S, LAST_MS, Seconds
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Between, limit_faults
from server.domain.base.text import Line, Name
from server.domain.glass.steps import TempC
from server.domain.routine.station import NOTHING_PLACED, Station

ThingKind = Literal["ingredient", "glass", "tool", "water", "cloth"]
Where = Literal["home", "there"]
Makes = Literal["ingredient", "glasses", "ice", "clear", "other"]

MOST_THINGS = 200
MOST_TASKS = 60
MOST_GOODS = 100
MOST_SIZES = 6
MOST_USES = 40
MOST_CHORES = 40
LONGEST_TASK_S = 90 * DAY_S
"""A task beyond three months is a slip of the keyboard."""

Span = Annotated[float, Between(0, LONGEST_TASK_S, "Up to 90 days.")]
Days = Annotated[int, Between(0, 3650, "Between 0 and 3,650 days.")]
Hour = Annotated[int, Between(0, 24, "Hours of the day go from 0 to 24.")]
Count = Annotated[int, Between(0, 1000, "Between 0 and 1,000 runs.")]
Phase = Literal["set_up", "clear"]
Uses = Annotated[tuple[Id, ...], AtMost(MOST_USES, "At most {} segments fit here.")]


@dataclass(frozen=True)
class Thing(Document):
    """Something that must be on the bar, added by hand, with the segments that use it."""

    id: Id
    name: Name
    how_many: Line = ""
    kind: ThingKind = "tool"
    segment_ids: Uses = ()

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self, segment_ids="uses"))


@dataclass(frozen=True)
class Task(Document):
    """Something made ahead: by hand so long, by itself so long after that.

    `keeps_s` is how long the result keeps, by the person's own figure; None where it keeps for
    good. `shares` names what there is only one of, taken until it is ready; several are parted by
    commas. `who` lends the hands; where nobody is named, the person whose routine it is.
    """

    id: Id
    name: Name
    hands_s: Span = 0.0
    alone_s: Span = 0.0
    keeps_s: Span | None = None
    keeps_at_c: TempC | None = None
    after_task_ids: Annotated[tuple[Id, ...], AtMost(MOST_TASKS, "At most {} tasks fit here.")] = ()
    where: Where = "home"
    shares: Line = ""
    who: Line = ""
    makes: Makes = "other"
    drink_id: Id | None = None
    ingredient_id: Id | None = None

    def __post_init__(self) -> None:
        fields = {"hands_s": "hands", "alone_s": "alone", "keeps_s": "keeps"}
        refuse_if(limit_faults(self, **fields, keeps_at_c="keeps_at", after_task_ids="after"))


@dataclass(frozen=True)
class Size(Document):
    """A pack as it is sold; `price` in whatever currency the person keeps, None if not known."""

    amount: Amount
    price: (
        Annotated[float, Between(0, 1_000_000, "A price lies between 0 and 1,000,000.")] | None
    ) = None

    def __post_init__(self) -> None:
        faults = limit_faults(self, price="sizes")
        if self.amount.value <= 0:
            faults.append(Fault("sizes", "A pack holds more than nothing."))
        refuse_if(faults)


@dataclass(frozen=True)
class Good(Document):
    """How something is bought. Under the name of an ingredient it is bought for that.

    `per_run` is how much of it a run takes, where no recipe says so. Days are how long it keeps,
    closed and opened; `each_run` says that it is bought fresh for every run. `task_id` is what is
    made ahead of it: for that it is bought in time, not only for the stage.
    """

    id: Id
    name: Name
    sizes: Annotated[tuple[Size, ...], AtMost(MOST_SIZES, "At most {} sizes fit here.")] = ()
    per_run: Amount | None = None
    closed_days: Days | None = None
    opened_days: Days | None = None
    each_run: bool = False
    not_bought: bool = False
    """Whether it is there already, or made from other things."""
    task_id: Id | None = None

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self, closed_days="closed", opened_days="opened"))


@dataclass(frozen=True)
class Chore(Document):
    """A part of setting up or of clearing away, with the time that is planned for it."""

    id: Id
    name: Name
    planned_s: Seconds = 60.0

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self, planned_s="chores"))


@dataclass(frozen=True)
class Journey(Document):
    """When the person is on stage, and what lies right before it."""

    stage_ms: Annotated[int, Field(ge=0, le=LAST_MS)] | None = None
    travel_s: Span = 0.0
    set_up_s: Span = 0.0
    waiting_s: Span = 0.0
    from_hour: Hour = 7
    """From this hour of the day hands are at work ..."""
    to_hour: Hour = 22
    """... and up to this one."""

    def __post_init__(self) -> None:
        faults = limit_faults(self, travel_s="travel", set_up_s="set_up", waiting_s="waiting")
        if self.from_hour >= self.to_hour:
            faults.append(Fault("to_hour", f"The day ends before it begins at {self.from_hour}."))
        refuse_if(faults)


Chores = Annotated[tuple[Chore, ...], AtMost(MOST_CHORES, "At most {} parts fit here.")]


@dataclass(frozen=True)
class Preparation(Document):
    """All that is kept of what comes before the stage."""

    reserve_percent: Annotated[float, Between(0, 500, "A reserve lies between 0 and 500 %.")] = 10.0
    """So much more of every ingredient than the slot's serves take."""
    spare_glasses: Annotated[int, Between(0, 100, "Between 0 and 100 spare ones.")] = 1
    left_out: Annotated[
        tuple[Line, ...], AtMost(MOST_THINGS, "At most {} things can be left out.")
    ] = ()
    """Keys of things that the recipes ask for and the person does without."""
    things: Annotated[tuple[Thing, ...], AtMost(MOST_THINGS, "At most {} things fit here.")] = ()
    tasks: Annotated[tuple[Task, ...], AtMost(MOST_TASKS, "At most {} tasks fit here.")] = ()
    journey: Journey = Journey()
    goods: Annotated[tuple[Good, ...], AtMost(MOST_GOODS, "At most {} goods fit here.")] = ()
    practice_runs: Count = 6
    dress_runs: Count = 1
    events: Count = 1
    days_apart: Days = 1
    """So many days lie between one run and the next: what is opened has to keep as long."""
    station: Station = NOTHING_PLACED
    setting_up: Chores = ()
    """What is done in the minutes for setting up, in its order; outside the slot ..."""
    clearing: Chores = ()
    """... and in those for clearing away."""

    @property
    def runs(self) -> int:
        """For how many runs things are bought."""
        return self.practice_runs + self.dress_runs + self.events

    def chores(self, phase: Phase) -> tuple[Chore, ...]:
        """The parts of setting up, or those of clearing away."""
        return self.setting_up if phase == "set_up" else self.clearing

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(
            self, reserve_percent="reserve", spare_glasses="spare", left_out="key",
            things="name", tasks="name", goods="name",
            setting_up="set_up", clearing="clear",
        )  # fmt: skip
        ids = [thing.id for thing in self.things] + [task.id for task in self.tasks]
        ids += [good.id for good in self.goods]
        ids += [each.id for each in self.station.surfaces]
        ids += [each.id for each in self.station.spots]
        ids += [each.id for each in (*self.setting_up, *self.clearing)]
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
