"""A drink's course: its parcels through its steps to what is served, with every doubt tried out.

Each doubt is moved to both of its ends, the others staying where they are, and the shifts that
this causes are added up: the range that comes out is the worst case, not a likely one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from server.domain.glass.cold.blending import with_listed_ice
from server.domain.glass.liquid import (
    Liquid,
    all_changed,
    barely_warming,
    freezes_at_c,
    mass_g,
    temp_c,
    total,
)
from server.domain.glass.making import (
    AnyStep,
    StepChange,
    StepOutcome,
    doubt_of,
    likely_case,
    step_change,
)
from server.domain.glass.mixing_heat import MIXING_SHARE
from server.domain.glass.parcel import Parcel
from server.domain.glass.steps import Agitate, Ice, Layer


class Taken(NamedTuple):
    """A step with what went through it. `before` is what it acted on."""

    step: AnyStep
    before: Liquid
    change: StepChange


class LayerReading(NamedTuple):
    """A layered drink: what lies below, what on top, and the impression of both together (°C)."""

    base_c: float | None
    layer_c: float | None
    overall_c: float | None


@dataclass(frozen=True)
class DrinkCourse:
    """A drink's parcels in the order in which they meet its steps."""

    start: Liquid
    steps: tuple[AnyStep, ...]
    adds: tuple[Liquid, ...]
    """What goes in after each step."""
    parcels: tuple[Parcel, ...]
    places: tuple[int, ...]
    """For each parcel the place it goes in: 0 at the start, else after that many steps."""


def course_of(parcels: Sequence[Parcel], steps: Sequence[AnyStep]) -> DrinkCourse:
    """The course of a drink; a parcel that names no step of it is there from the start."""
    order = {step.id: place for place, step in enumerate(steps, start=1)}
    places = tuple(order.get(parcel.after_step_id or "", 0) for parcel in parcels)
    pots: list[list[Liquid]] = [[] for _ in range(len(steps) + 1)]
    for parcel, place in zip(parcels, places, strict=True):
        pots[place].append(parcel.liquid)
    start, *adds = [total(pot) for pot in pots]
    taken = with_listed_ice(steps, parcels)
    return DrinkCourse(start, taken, tuple(adds), tuple(parcels), places)


def taken_steps(course: DrinkCourse) -> list[Taken]:
    """Each step with what it acted on and what it did, as it most likely goes."""
    taken: list[Taken] = []
    liquid = course.start
    for step, add in zip(course.steps, course.adds, strict=True):
        change = step_change(step, liquid)
        taken.append(Taken(step, liquid, change))
        liquid = total([change.after, add])
    return taken


def end_of(course: DrinkCourse) -> Liquid:
    """What is in the vessel in the end, as it most likely goes."""
    return _run(course.start, course.steps, course.adds, [likely_case(s) for s in course.steps])


def layers_of(course: DrinkCourse) -> tuple[LayerReading, ...]:
    """The temperatures of each layer that is put on top."""
    return tuple(
        LayerReading(temp_c(taken.before), temp_c(add), temp_c(total([taken.before, add])))
        for taken, add in zip(taken_steps(course), course.adds, strict=True)
        if isinstance(taken.step, Layer)
    )


def _run(
    start: Liquid, steps: Sequence[AnyStep], adds: Sequence[Liquid], cases: Sequence[StepOutcome]
) -> Liquid:
    liquid = start
    for step, add, case in zip(steps, adds, cases, strict=True):
        after = step_change(step, liquid, case).after
        liquid = total([after, add])
    return liquid


def _run_barely_warming(course: DrinkCourse, cases: Sequence[StepOutcome], share: float) -> Liquid:
    """What comes of it where only so much of the heat of mixing does (that of the ice whole)."""
    liquid = barely_warming(course.start, share)
    for step, add, case in zip(course.steps, course.adds, cases, strict=True):
        after = step_change(step, liquid, case).after
        liquid = barely_warming(total([after, add]), share)
    return liquid


def doubtful_ends(course: DrinkCourse) -> Iterator[tuple[Liquid, Liquid]]:
    """What is in the vessel at both ends of every doubt, the others staying likely."""
    likely = [likely_case(step) for step in course.steps]
    for moved in _doubts(course):
        yield _with_parts(course, likely, moved, 0), _with_parts(course, likely, moved, 1)
    if any(parcel.liquid.ethanol_g > 0 for parcel in course.parcels):
        ends = (MIXING_SHARE.least, MIXING_SHARE.most)
        least, most = (_run_barely_warming(course, likely, share) for share in ends)
        yield least, most
    for index, step in enumerate(course.steps):
        for one, other in doubt_of(step).cases:
            yield _with_case(course, likely, index, one), _with_case(course, likely, index, other)


class Floor:
    """How cold ice can take a drink: to where it begins to freeze, thinned as it then is.

    Shifts of several doubts are added up, each of which alone stops there; their sum would not.
    """

    def __init__(self, course: DrinkCourse, end: Liquid) -> None:
        ends_on_ice = bool(course.steps) and isinstance(course.steps[-1], Ice | Agitate)
        self._is_over_ice = ends_on_ice and mass_g(course.adds[-1]) <= 0
        self._end_c = temp_c(end) if self._is_over_ice else None
        self._coldest_c = freezes_at_c(end) if self._is_over_ice else -inf

    def lower(self, liquid: Liquid, at_c: float) -> None:
        """Look at an end of a doubt: what is colder than likely may freeze lower, too."""
        if self._end_c is not None and at_c < self._end_c:
            self._coldest_c = min(self._coldest_c, freezes_at_c(liquid))

    def under(self, likely_c: float, low_c: float) -> float:
        """The low end of its temperature that can be."""
        return max(low_c, min(likely_c, self._coldest_c)) if self._is_over_ice else low_c


class _Moved(NamedTuple):
    """A parcel that is not sure: its place, what it likely is, and its two ends."""

    place: int
    likely: Liquid
    ends: tuple[Liquid, Liquid]


def _doubts(course: DrinkCourse) -> Iterator[list[_Moved]]:
    """Doubts that are moved together.

    More sugar (acid, strength ...) in any ingredient moves each number the same way, so all
    ingredients move at once. More of one ingredient thins the others: amounts move one by one.
    """
    together: dict[str, list[_Moved]] = {}
    for parcel, place in zip(course.parcels, course.places, strict=True):
        for end in parcel.ends:
            moved = _Moved(place, parcel.liquid, (end.low, end.high))
            if end.about == "amount":
                yield [moved]
            else:
                together.setdefault(end.about, []).append(moved)
    yield from together.values()


def _with_parts(
    course: DrinkCourse, cases: Sequence[StepOutcome], parts: Sequence[_Moved], end: int
) -> Liquid:
    pots = [course.start, *course.adds]
    by_pot: dict[int, list[tuple[Liquid, Liquid]]] = {}
    for place, likely, ends in parts:
        by_pot.setdefault(place, []).append((likely, ends[end]))
    for place, replaced in by_pot.items():
        pots[place] = all_changed(pots[place], replaced)
    return _run(pots[0], course.steps, pots[1:], cases)


def _with_case(
    course: DrinkCourse, cases: Sequence[StepOutcome], index: int, case: StepOutcome
) -> Liquid:
    return _run(
        course.start, course.steps, course.adds, [*cases[:index], case, *cases[index + 1 :]]
    )
