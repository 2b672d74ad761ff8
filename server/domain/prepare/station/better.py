"""What stands better elsewhere: an arrangement with less travel and less that is amiss.

Things change places with one another, or go to free places; nothing is turned, and what is said to
stay stays. What is amiss counts as so many centimetres of travel, so that no shorter way is bought
with a hidden pour. Loads NumPy: import it only where it is wanted.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from server.domain.prepare.station.amiss import (
    SLIP_CM,
    before_it,
    heat_at,
    over_cm,
    surface_of,
    upon_cm,
)
from server.domain.prepare.station.assignment import (
    Numbers,
    Problem,
    arranged,
    cost_of,
    exchanged,
    lower_bound,
)
from server.domain.prepare.station.places import free_places
from server.domain.prepare.station.travel import (
    ARMS_CM,
    Point,
    feet_of,
    place_of,
    step_to,
    travel_of,
)
from server.domain.prepare.station.uses import Stood, Use
from server.domain.routine.station import Station

MOST_MOVED = 25
"""So many things are moved at the most, those used most often."""

LEAST_CM = 5.0
"""Less than that is not worth a move."""

CROSSED_CM, FAULT_CM = 10.0, 250.0
"""Assumptions, no source: what crossed arms, and a pour hidden or heat by cold, count."""

FORBIDDEN_CM = 1e6


@dataclass(frozen=True)
class PlaceMove:
    """A thing with the place it leaves and the one it goes to."""

    spot_id: str
    start: Point
    end: Point


@dataclass(frozen=True)
class PlaceProposal:
    """Another arrangement of the station; no arrangement of these places travels less than
    `least_cm`, and with `is_best` all were tried. No moves: nothing stands better elsewhere.
    """

    station: Station
    moves: tuple[PlaceMove, ...]
    least_cm: float
    is_best: bool


def better_station(
    station: Station,
    stood: Sequence[Stood],
    uses: Sequence[Use],
    pours: Sequence[str],
    most_exchanges: int | None = None,
) -> PlaceProposal:
    """The best arrangement found; `stood`, `uses` and `pours` are those of the station.

    With `most_exchanges` it is reached by so many exchanges, or moves to free places, at the most.
    """
    setting = _Setting(station, stood, uses, frozenset(pours))
    moved = setting.moved
    start = tuple(range(len(moved)))
    if not moved:
        return PlaceProposal(station, (), travel_of(station, stood, uses).all_cm, is_best=True)
    problem = setting.problem(faults=True)
    if most_exchanges is None:
        found = arranged(problem, start)
    else:
        found = exchanged(problem, start, most_exchanges)
    places = _fewest(problem, start, found.places, found.cost)
    worth = cost_of(problem, start) - cost_of(problem, places) >= LEAST_CM
    moves = tuple(
        PlaceMove(each.spot.id, place_of(each), setting.places[place])
        for each, place, was in zip(moved, places, start, strict=True)
        if place != was and worth
    )
    ends = {move.spot_id: move.end for move in moves}
    spots = tuple(
        replace(spot, x_cm=ends[spot.id][0], y_cm=ends[spot.id][1]) if spot.id in ends else spot
        for spot in station.spots
    )
    least_cm = setting.unmoved_cm + lower_bound(setting.problem(faults=False))
    return PlaceProposal(replace(station, spots=spots), moves, least_cm, found.is_best)


def _fewest(
    problem: Problem, start: tuple[int, ...], found: tuple[int, ...], cost: float
) -> tuple[int, ...]:
    """The arrangement without the exchanges that save next to nothing."""
    for group in _groups(start, found):
        tried = tuple(was if was in group else place
                      for was, place in zip(start, found, strict=True))  # fmt: skip
        tried_cost = cost_of(problem, tried)
        if tried_cost - cost < LEAST_CM:
            found, cost = tried, tried_cost
    return found


def _groups(start: tuple[int, ...], found: tuple[int, ...]) -> list[set[int]]:
    """The places between which things go round; each group can be put back by itself."""
    groups: list[set[int]] = []
    for was, place in zip(start, found, strict=True):
        if was != place:
            touching = [group for group in groups if group & {was, place}]
            groups = [group for group in groups if group not in touching]
            groups.append({was, place}.union(*touching))
    return groups


class _Setting:
    """What is moved and what is not, and between which places."""

    def __init__(
        self, station: Station, stood: Sequence[Stood], uses: Sequence[Use], pours: frozenset[str]
    ) -> None:
        self._station, self._pours = station, pours
        self._ways, self._within = _ways_of(uses)
        busy = Counter(use.spot_id for use in uses)
        may = [each for each in stood if not each.spot.stays]
        may = [each for each in may if surface_of(station, each.spot) is not None]
        self.moved = sorted(may, key=lambda each: -busy[each.spot.id])[:MOST_MOVED]
        self._fixed = [each for each in stood if each not in self.moved]
        self.places = [place_of(each) for each in self.moved] + free_places(station)
        still = {"": feet_of(station)} | {each.spot.id: place_of(each) for each in self._fixed}
        self._still = list(still)
        self._still_at = list(still.values())

    @property
    def unmoved_cm(self) -> float:
        """The travel between what is not moved and the place where one stands."""
        return float((_counts(self._ways, self._still, self._still)
                      * self._apart(self._still_at, self._still_at)).sum() / 2)  # fmt: skip

    def problem(self, *, faults: bool) -> Problem:
        """The quadratic assignment of what is moved; its `pairs` are nothing without `faults`."""
        ids = [each.spot.id for each in self.moved]
        to_still = _counts(self._ways, ids, self._still)
        single = to_still @ self._apart(self._still_at, self.places) + self._forbidden
        things, places = len(self.moved), len(self.places)
        pairs = np.zeros((things, places, things, places))
        if faults:
            single += self._faults_by_fixed()
            self._add_faults(pairs)
        flows = _counts(self._ways, ids, ids)
        return Problem(single, flows, self._apart(self.places, self.places), pairs)

    def _apart(self, ones: Sequence[Point], others: Sequence[Point]) -> Numbers:
        """The way of hands and feet between places (cm)."""
        feet, reach_cm = feet_of(self._station), self._station.reach_cm
        steps = [np.array([step_to(feet, reach_cm, at) for at in ats]) for ats in (ones, others)]
        across, along = _offsets(ones, others)
        way: Numbers = np.hypot(across, along) + np.abs(steps[0][:, None] - steps[1][None, :])
        return way

    @cached_property
    def _forbidden(self) -> Numbers:
        """Where a thing has no room; where it stands it may stay."""
        barred = np.zeros((len(self.moved), len(self.places)))
        for row, thing in enumerate(self.moved):
            for column, place in enumerate(self.places):
                if column != row and not self._fits(thing, place):
                    barred[row, column] = FORBIDDEN_CM
        return barred

    def _fits(self, thing: Stood, place: Point) -> bool:
        spot = replace(thing.spot, x_cm=place[0], y_cm=place[1])
        surface = surface_of(self._station, spot)
        if surface is None or over_cm(surface, spot) > SLIP_CM:
            return False
        return all(upon_cm(spot, each.spot) <= SLIP_CM for each in self._fixed)

    def _faults_by_fixed(self) -> Numbers:
        costs = np.zeros((len(self.moved), len(self.places)))
        for row, thing in enumerate(self.moved):
            for each in self._fixed:
                costs[row] += self._faults_cm(thing, each, self.places, [place_of(each)])[:, 0]
        return costs

    def _add_faults(self, pairs: Numbers) -> None:
        across, along = map(np.abs, _offsets(self.places, self.places))
        for row, one in enumerate(self.moved):
            for column, other in enumerate(self.moved[:row]):
                wide = (one.spot.width_cm + other.spot.width_cm) / 2 - SLIP_CM
                deep = (one.spot.depth_cm + other.spot.depth_cm) / 2 - SLIP_CM
                costs = np.where((across < wide) & (along < deep), FORBIDDEN_CM, 0.0)
                costs = costs + self._faults_cm(one, other, self.places, self.places)
                pairs[row, :, column, :] = costs
                pairs[column, :, row, :] = costs.T

    def _faults_cm(
        self, one: Stood, other: Stood, ones: Sequence[Point], others: Sequence[Point]
    ) -> Numbers:
        """What is amiss between two things on each two places, as so many centimetres."""
        station, ids = self._station, (one.spot.id, other.spot.id)
        across, along = _offsets(ones, others)
        costs = np.zeros(across.shape)
        if {heat_at(one), heat_at(other)} == {"hot", "cold"}:
            wide = (one.spot.width_cm + other.spot.width_cm) / 2
            deep = (one.spot.depth_cm + other.spot.depth_cm) / 2
            gap = np.hypot(
                np.maximum(np.abs(across) - wide, 0), np.maximum(np.abs(along) - deep, 0)
            )
            costs += FAULT_CM * (gap < station.apart_cm)
        if ids[0] in self._pours and other.spot.height_cm > one.spot.height_cm:
            costs += FAULT_CM * before_it(station, one.spot, other.spot, across, along)
        if ids[1] in self._pours and one.spot.height_cm > other.spot.height_cm:
            costs += FAULT_CM * before_it(station, other.spot, one.spot, -across, -along)
        times = self._within[ids] + self._within[ids[::-1]]
        if times and one.hand != other.hand:
            # `across` is from the first to the other: the left hand's thing farther to the right.
            left_over = -across if one.hand == "left" else across
            costs += times * CROSSED_CM * (left_over > ARMS_CM)
        return costs


def _offsets(ones: Sequence[Point], others: Sequence[Point]) -> tuple[Numbers, Numbers]:
    """How far each place lies to the right and towards the person of each of the first ones."""
    first, second = np.array(ones, dtype=float), np.array(others, dtype=float)
    return (
        second[None, :, 0] - first[:, None, 0],
        second[None, :, 1] - first[:, None, 1],
    )


def _counts(ways: Counter[tuple[str, str]], ones: list[str], others: list[str]) -> Numbers:
    return np.array(
        [[ways[one, other] + ways[other, one] for other in others] for one in ones], dtype=float
    )


def _ways_of(uses: Sequence[Use]) -> tuple[Counter[tuple[str, str]], Counter[tuple[str, str]]]:
    """How often hands go from one thing to another, and so within a segment; "" is the start."""
    ways: Counter[tuple[str, str]] = Counter()
    within: Counter[tuple[str, str]] = Counter()
    if uses:
        ways["", uses[0].spot_id] += 1
    for one, other in pairwise(uses):
        if one.spot_id != other.spot_id:
            ways[one.spot_id, other.spot_id] += 1
            if one.segment_id == other.segment_id:
                within[one.spot_id, other.spot_id] += 1
    return ways, within
