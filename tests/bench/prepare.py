"""All lists of what is prepared, for a routine with 3 drinks, 60 things and 30 tasks.

Ours is everything from the routine to kit, timetable and shopping; nothing is kept from before.
"""

import random
import time
from collections.abc import Iterator
from dataclasses import replace

from server.demo import demo_file
from server.domain.base.amounts import Amount
from server.domain.prepare.kit import kit_of, packing_of
from server.domain.prepare.shopping import shopping_of
from server.domain.prepare.station.better import better_station
from server.domain.prepare.station.places import set_down
from server.domain.prepare.station.sizes import size_of
from server.domain.prepare.station.travel import travel_of
from server.domain.prepare.station.uses import pours_of, stood_of, uses_of
from server.domain.prepare.timetable import timetable
from server.domain.routine.edits import with_new_ids
from server.domain.routine.preparing import Good, Journey, Preparation, Size, Task, Thing
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.routine.station import Spot, Station, Surface
from server.web.frame.local_zone import LOCAL
from tests.bench.figures import Figure
from tests.factories import NOW_MS

ROUNDS, ROUNDS_QUICK = 20, 3
THINGS = 25


def routine() -> Routine:
    """The demo with a third drink, and 30 tasks, things up to 60 and 20 goods, drawn by seed."""
    demo = demo_file().routine
    numbers = iter(range(1000))
    third = with_new_ids(demo.drinks[0], lambda: f"x{next(numbers)}")
    drawn = random.Random(1)
    tasks = tuple(_task(n, drawn) for n in range(30))
    things = tuple(Thing(f"h{n}", f"Thing {n}") for n in range(25))
    sold = ((350.0, 9.0), (500.0, 12.0), (1000.0, 21.0))
    sizes = tuple(Size(Amount(ml, "ml"), price) for ml, price in sold)
    goods = tuple(Good(f"g{n}", f"Good {n}", sizes, Amount(70 + n, "ml")) for n in range(20))
    journey = Journey(NOW_MS + 400_000_000, 3600.0, 1800.0, 600.0)
    given = Preparation(things=things, tasks=tasks, goods=goods, journey=journey)
    return replace(demo, drinks=(*demo.drinks, replace(third, name="Third")), preparation=given)


def _task(number: int, drawn: random.Random) -> Task:
    links = min(number, drawn.choice((0, 0, 1, 2)))
    return Task(
        f"t{number}",
        f"Task {number}",
        drawn.choice((600.0, 1800.0, 3600.0)),
        drawn.choice((0.0, 3600.0, 43_200.0)),
        drawn.choice((None, 259_200.0)),
        after_task_ids=tuple(f"t{each}" for each in drawn.sample(range(number), links)),
        shares=drawn.choice(("", "", "stove", "freezer")),
    )


def measure(quick: bool) -> Iterator[Figure]:
    """The time of all lists together, the best of several rounds."""
    made, rules = routine(), demo_file().rules
    best_s = min(_once(made, rules) for _ in range(ROUNDS_QUICK if quick else ROUNDS))
    things = len(kit_of(made, rules))
    yield Figure(f"kit of {things}, 30 tasks, 20 goods", best_s * 1000, "ms", aim="under 50 ms")
    yield from _station(quick)


def _station(quick: bool) -> Iterator[Figure]:
    """A proposal for 25 things, with how far it lies above what none can go below."""
    demo = demo_file()
    kit = kit_of(demo.routine, demo.rules)
    station = Station((Surface("bar", "Bar", 240, 70),), reach_cm=80)
    for number, thing in enumerate(kit):
        width, depth, height = size_of(thing)
        key = "" if thing.thing_id else thing.key
        spot = Spot(f"s{number}", key, thing.thing_id, 0, 0, width, depth, height)
        down = set_down(station, spot) if len(station.spots) < THINGS else None
        station = station if down is None else replace(station, spots=(*station.spots, down))
    stood = stood_of(station, kit)
    uses, pours = uses_of(demo.routine, stood), pours_of(demo.routine, stood)
    best_s, found = float("inf"), None
    for _ in range(1 if quick else 5):
        begun = time.perf_counter()
        found = better_station(station, stood, uses, pours)
        best_s = min(best_s, time.perf_counter() - begun)
    if found is not None:
        after = travel_of(found.station, stood_of(found.station, kit), uses).all_cm
        yield Figure(f"a better place for {len(stood)} things", best_s, "s", aim="under 1 s")
        yield Figure("its ways over the lower bound", after / found.least_cm, "times")


def _once(made: Routine, rules: RuleSheet) -> float:
    begun = time.perf_counter()
    packing_of(kit_of(made, rules), {})
    timetable(made.preparation.tasks, made.preparation.journey, LOCAL)
    shopping_of(made, rules)
    return time.perf_counter() - begun
