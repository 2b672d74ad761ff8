"""What is made ahead, from the moment on stage backwards: when to begin, at the latest and at the
earliest so that it still keeps.

Travel, setting up and waiting lie right before the stage. What is made at home is ready when one
leaves; what is made there is begun after arriving and is out of hand before setting up. Times are
seconds since 1970: a clock that is put forward on the way changes what it shows, not how long
anything takes.
"""

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo

from server.domain.base.durations import DAY_S, HOUR_S
from server.domain.base.text import plain_name
from server.domain.prepare.hours import Hours
from server.domain.prepare.serial import EVERY_ORDER, Job, Times, latest_starts, no_later_s
from server.domain.routine.preparing import Journey, Task

FOOD_CODE = "FDA Food Code 2022"
COLD_C, HOT_C, FROZEN_C = 5.0, 57.0, -18.0
TIME_ONLY_S = 4 * HOUR_S
COLD_S = 6 * DAY_S
"""Seven days, the day of making being the first."""


@dataclass(frozen=True)
class Leg:
    """What lies right before the stage: the way there, setting up, waiting backstage."""

    name: str
    start_s: float
    end_s: float


@dataclass(frozen=True)
class PlacedTask:
    """A task with its latest begin.

    `earliest_s` is the earliest begin at which it still keeps until it is used for the last time,
    None where it keeps for good; where that lies after the latest begin it does not keep.
    """

    task: Task
    start_s: float
    earliest_s: float | None

    @property
    def hands_end_s(self) -> float:
        """When hands are free again."""
        return self.start_s + self.task.hands_s

    @property
    def ready_s(self) -> float:
        """When it is ready."""
        return self.hands_end_s + self.task.alone_s

    @property
    def spoils_s(self) -> float:
        """How much too long it has to keep; 0 where it keeps."""
        return 0.0 if self.earliest_s is None else max(0.0, self.earliest_s - self.start_s)


@dataclass(frozen=True)
class Timetable:
    """Tasks in the order of their begin, and what lies right before the stage.

    `gap_s` is how much later the first of what is made at home could begin at the very most, by
    another order; 0 where every order was tried, or where this one is proved the latest.
    """

    placed: tuple[PlacedTask, ...]
    legs: tuple[Leg, ...]
    stage_s: float
    leave_s: float
    gap_s: float = 0.0

    @property
    def first_s(self) -> float:
        """When the first of it begins."""
        return min([self.leave_s, *(each.start_s for each in self.placed)])

    @property
    def people(self) -> tuple[str, ...]:
        """Whose hands it takes, each once; the person whose routine it is has no name and is the
        first."""
        named = {plain_name(each.task.who): each.task.who.strip() for each in self.placed}
        return ("", *sorted(name for plain, name in named.items() if plain))

    def behind_s(self, now_s: float) -> float:
        """By how much the latest begin of anything still to do has passed; 0 if none has."""
        return max([0.0, *(now_s - each.start_s for each in self.placed)])


def timetable(
    tasks: Sequence[Task],
    journey: Journey,
    zone: tzinfo,
    done: Collection[str] = (),
) -> Timetable:
    """The timetable of what is not `done`, before `journey.stage_ms`, which must be given."""
    stage_s = (journey.stage_ms or 0) / 1000
    set_up_s = stage_s - journey.waiting_s - journey.set_up_s
    left = [task for task in tasks if task.id not in done]
    at_home = _at_home(left)
    there = [task for task in left if task.id not in at_home]
    starts = latest_starts([_job(task, set_up_s, stage_s, None) for task in there])
    arrive_s = min([set_up_s, *starts.values()])
    leave_s = arrive_s - journey.travel_s
    hours = Hours(journey.from_hour, journey.to_hour, zone)
    jobs = [
        _job(task, leave_s, _needed_by(task, there, starts, leave_s), hours)
        for task in left
        if task.id in at_home
    ]
    at_home_s = latest_starts(jobs)
    starts |= at_home_s
    gap_s = 0.0
    if len(jobs) > EVERY_ORDER:
        gap_s = max(0.0, no_later_s(jobs) - min(at_home_s.values()))
    placed = (_placed(task, left, starts, stage_s) for task in left)
    return Timetable(
        tuple(sorted(placed, key=lambda each: (each.start_s, each.task.name))),
        tuple(_legs(journey, stage_s, set_up_s, arrive_s)),
        stage_s,
        leave_s,
        gap_s,
    )


def what_gives(
    tasks: Sequence[Task],
    journey: Journey,
    zone: tzinfo,
    done: Collection[str],
    now_s: float,
    asked: Collection[str],
) -> tuple[Task, ...]:
    """Those of the `asked` tasks without which, bought ready or left out, all of it fits again."""
    return tuple(
        task
        for task in tasks
        if task.id in asked
        and timetable(tasks, journey, zone, {*done, task.id}).behind_s(now_s) == 0
    )


def keeping_cautions(tasks: Sequence[Task]) -> tuple[str, ...]:
    """Where a keeping time goes beyond what a published code states; local codes decide.

    FDA Food Code 2022: 3-501.16 (held at 5 °C or less, or 57 °C or more), 3-501.17 (ready-to-eat
    food, prepared and held at 5 °C or less: 7 days, the day of making being the first), 3-501.18
    (the time that it is frozen does not count; the code names no temperature for that, −18 °C is
    the usual one) and 3-501.19 (by time alone: 4 h). Glasses and ice are no food that spoils.
    """
    found = []
    for task in tasks:
        if task.keeps_s is None or task.keeps_at_c is None or task.makes in ("glasses", "ice"):
            continue
        if task.keeps_at_c <= FROZEN_C:
            continue
        if COLD_C < task.keeps_at_c < HOT_C and task.keeps_s > TIME_ONLY_S:
            limit = "held between 5 and 57 °C, at most 4 h"
        elif task.keeps_at_c <= COLD_C and task.keeps_s > COLD_S:
            limit = "held at 5 °C or less, at most 7 days, the day of making being the first"
        else:
            continue
        found.append(f"“{task.name}”: prepared food that can spoil is {limit} ({FOOD_CODE}).")
    return tuple(found)


def _at_home(tasks: Sequence[Task]) -> set[str]:
    """The tasks done at home: what is needed there is made there, wherever it was meant to be."""
    known = {task.id: task for task in tasks}
    home = [task.id for task in tasks if task.where == "home"]
    found = set[str]()
    while home:
        each = home.pop()
        if each not in found and each in known:
            found.add(each)
            home += known[each].after_task_ids
    return found


def _job(task: Task, hands_by_s: float, ready_by_s: float, hours: Hours | None) -> Job:
    return Job(
        task.id,
        task.hands_s,
        task.alone_s,
        hands_by_s,
        ready_by_s,
        task.after_task_ids,
        _parted(task.shares),
        plain_name(task.who),
        task.keeps_s,
        hours,
    )


def _parted(names: str) -> tuple[str, ...]:
    plain = map(plain_name, re.split("[,;]", names))
    return tuple(dict.fromkeys(name for name in plain if name))


def _needed_by(task: Task, there: Sequence[Task], starts: Times, leave_s: float) -> float:
    needing = (starts[each.id] for each in there if task.id in each.after_task_ids)
    return min([leave_s, *needing])


def _placed(task: Task, tasks: Sequence[Task], starts: Times, stage_s: float) -> PlacedTask:
    needing = [starts[each.id] for each in tasks if task.id in each.after_task_ids]
    used_s = max(needing) if needing else stage_s
    earliest_s = None
    if task.keeps_s is not None:
        earliest_s = used_s - task.keeps_s - task.hands_s - task.alone_s
    return PlacedTask(task, starts[task.id], earliest_s)


def _legs(journey: Journey, stage_s: float, set_up_s: float, arrive_s: float) -> Iterator[Leg]:
    waiting_s = stage_s - journey.waiting_s
    for name, start_s, end_s in (
        ("Travel", arrive_s - journey.travel_s, arrive_s),
        ("Set up the bar", set_up_s, waiting_s),
        ("Wait backstage", waiting_s, stage_s),
    ):
        if end_s > start_s:
            yield Leg(name, start_s, end_s)


def without_task(tasks: Sequence[Task], task_id: str) -> tuple[Task, ...]:
    """The tasks without one of them; what waited for it waits for it no more."""
    return tuple(
        replace(task, after_task_ids=tuple(each for each in task.after_task_ids if each != task_id))
        for task in tasks
        if task.id != task_id
    )
