"""Work laid out backwards from when it must be ready: a pair of hands each, one of a thing shared.

Serial schedule generation (Kelley 1963; Kolisch, European Journal of Operational Research 90,
1996), run backwards: tasks are taken in an order in which what needs them comes first, each as
late as hands, hours and shared things allow. Several priority rules are tried, then neighbours are
exchanged while that helps. That is no proof of the best, which is hard to find in general; the
tests compare with every order of small sets.
"""

import math
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations

from server.domain.prepare.hours import Hours

EVERY_ORDER = 5
"""Of so many tasks every order is tried."""

TRIES = 12
"""So many orders are tried by exchanging neighbours."""

Times = dict[str, float]
"""Id -> when the hands' part begins."""

_Span = tuple[float, float]
"""From when to when hands or a thing are taken."""

Rank = tuple[float, ...]
"""The lowest comes next."""


@dataclass(frozen=True)
class Job:
    """Work by hand, then time by itself: the hands end by `hands_by_s`, it is ready by
    `ready_by_s`.

    `who` lends the hands, and `shares` are the things that it takes up until it is ready.
    """

    id: str
    hands_s: float
    alone_s: float
    hands_by_s: float
    ready_by_s: float
    after_ids: tuple[str, ...] = ()
    shares: tuple[str, ...] = ()
    who: str = ""
    keeps_s: float | None = None
    hours: Hours | None = None

    @property
    def lasts_s(self) -> float:
        """From its begin until it is ready."""
        return self.hands_s + self.alone_s


def latest_starts(jobs: Sequence[Job]) -> Times:
    """The latest begin of every job, their hands and shared things free: as late as was found.

    What waits for one another in a circle is refused where it is typed, and must not come here.
    """
    if not jobs:
        return {}
    needed_by = _successors(jobs)
    free = _unlimited(jobs, needed_by)
    heads = _heads(jobs)
    rules: tuple[Callable[[Job], Rank], ...] = (
        lambda job: (-free[job.id],),
        lambda job: (-min(job.hands_by_s, job.ready_by_s - job.alone_s),),
        lambda job: (job.keeps_s is None, job.keeps_s or 0.0, -free[job.id]),
        lambda job: (-heads[job.id],),
    )
    orders = [_ordered(jobs, needed_by, rule) for rule in rules]
    if len(jobs) <= EVERY_ORDER:
        orders += [list(each) for each in permutations(jobs) if _may_be(each, needed_by)]
    worth, order = max(((_worth(jobs, _laid(each, needed_by), needed_by), each) for each in orders),
                       key=lambda pair: pair[0])  # fmt: skip
    order = _improved(jobs, order, worth, needed_by)
    return _laid(order, needed_by)


def no_later_s(jobs: Sequence[Job]) -> float:
    """A moment after which no order lets the first of the jobs begin: with hands and things without
    end, and for the hands and each shared thing with all that must be through by some moment.

    Jackson's bound for one machine (Management Science Research Project 43, 1955), backwards.
    """
    free = _unlimited(jobs, _successors(jobs))
    bounds = list(free.values())
    for who in {job.who for job in jobs}:
        by_hand = [job for job in jobs if job.who == who]
        bounds.append(_through(by_hand, free, lambda job: job.hands_s))
    for name in {each for job in jobs for each in job.shares}:
        sharing = [job for job in jobs if name in job.shares]
        bounds.append(_through(sharing, free, lambda job: job.lasts_s))
    return min(bounds)


def _through(jobs: Sequence[Job], free: Times, lasts: Callable[[Job], float]) -> float:
    """When the first has to begin at the latest where one of them is done at a time."""
    bound, whole = math.inf, 0.0
    for end_s, job in sorted(
        ((free[job.id] + lasts(job), job) for job in jobs), key=lambda each: each[0]
    ):
        whole += lasts(job)
        if lasts(job):
            bound = min(bound, end_s - whole)
    return bound


def _successors(jobs: Sequence[Job]) -> dict[str, list[str]]:
    known = {job.id for job in jobs}
    needed_by: dict[str, list[str]] = {job.id: [] for job in jobs}
    for job in jobs:
        for each in job.after_ids:
            if each in known:
                needed_by[each].append(job.id)
    return needed_by


def _unlimited(jobs: Sequence[Job], needed_by: Mapping[str, Sequence[str]]) -> Times:
    """Latest begins if there were hands for everything (the critical path method)."""
    found: Times = {}
    for job in _ordered(jobs, needed_by, lambda job: ()):
        ready_s = min([job.ready_by_s, *(found[each] for each in needed_by[job.id])])
        found[job.id] = min(ready_s - job.alone_s, job.hands_by_s) - job.hands_s
    return found


def _heads(jobs: Sequence[Job]) -> Times:
    """How long the longest chain lasts that ends with each job, itself with it."""
    needed_by, known = _successors(jobs), {job.id: job for job in jobs}
    heads: Times = {}
    for job in reversed(_ordered(jobs, needed_by, lambda job: ())):
        before = [heads[each] for each in job.after_ids if each in known]
        heads[job.id] = max(before, default=0.0) + job.lasts_s
    return heads


def _may_be(order: Sequence[Job], needed_by: Mapping[str, Sequence[str]]) -> bool:
    placed = set[str]()
    for job in order:
        if not placed.issuperset(needed_by[job.id]):
            return False
        placed.add(job.id)
    return True


def _ordered(
    jobs: Sequence[Job], needed_by: Mapping[str, Sequence[str]], rule: Callable[[Job], Rank]
) -> list[Job]:
    """The jobs, each behind all that need it; among those that may come next, by the rule."""
    left, order, placed = list(jobs), list[Job](), set[str]()
    while left:
        may = [job for job in left if placed.issuperset(needed_by[job.id])]
        chosen = min(may, key=rule)
        left.remove(chosen)
        order.append(chosen)
        placed.add(chosen.id)
    return order


def _laid(order: Sequence[Job], needed_by: Mapping[str, Sequence[str]]) -> Times:
    starts: Times = {}
    busy, shared = defaultdict[str, list[_Span]](list), defaultdict[str, list[_Span]](list)
    for job in order:
        ready_s = min([job.ready_by_s, *(starts[each] for each in needed_by[job.id])])
        held = [span for name in job.shares for span in shared[name]]
        latest_s = min(ready_s - job.alone_s, job.hands_by_s)
        end_s = _latest_end(job, latest_s, busy[job.who], held)
        starts[job.id] = end_s - job.hands_s
        if job.hands_s:
            busy[job.who].append((end_s - job.hands_s, end_s))
        for name in job.shares:
            shared[name].append((end_s - job.hands_s, end_s + job.alone_s))
    return starts


def _latest_end(
    job: Job,
    end_s: float,
    busy: Sequence[_Span],
    held: Sequence[_Span],
) -> float:
    """The latest end of the hands' part at which hands and the shared thing are free."""
    while True:
        begin_s, ready_s = end_s - job.hands_s, end_s + job.alone_s
        before_s = end_s
        if job.hands_s:
            for begins, ends in busy:
                if begin_s < ends and begins < end_s:
                    before_s = min(before_s, begins)
        for begins, ends in held:
            if begin_s < ends and begins < ready_s:
                before_s = min(before_s, begins - job.alone_s)
        if before_s == end_s and job.hours is not None and job.hands_s:
            before_s = job.hours.latest_end(end_s, job.hands_s)
        if before_s == end_s:
            return end_s
        end_s = before_s


def _worth(
    jobs: Sequence[Job], starts: Times, needed_by: Mapping[str, Sequence[str]]
) -> tuple[int, float, float]:
    """The fewest that do not keep, then the latest first begin, then the latest begins in all."""
    spoiled = 0
    for job in jobs:
        if job.keeps_s is not None:
            uses = [starts[each] for each in needed_by[job.id]]
            used_s = max(uses) if uses else job.ready_by_s
            spoiled += used_s - starts[job.id] - job.lasts_s > job.keeps_s
    return -spoiled, min(starts.values()), sum(starts.values())


def _improved(
    jobs: Sequence[Job],
    order: list[Job],
    worth: tuple[int, float, float],
    needed_by: Mapping[str, Sequence[str]],
) -> list[Job]:
    """The order with neighbours exchanged for as long as that helps, within TRIES."""
    tries, better = 0, True
    while better and tries < TRIES:
        better = False
        for place, (one, next_one) in enumerate(pairwise(order)):
            if one.id in needed_by[next_one.id] or tries >= TRIES:
                continue
            tries += 1
            swapped = [*order[:place], next_one, one, *order[place + 2 :]]
            found = _worth(jobs, _laid(swapped, needed_by), needed_by)
            if found > worth:
                order, worth, better = swapped, found, True
                break
    return order
