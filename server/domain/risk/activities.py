"""A network of activities: who waits for whom.

An activity starts when all it waits for has happened: the end of some activities (`after`), the
start of others (`with_start_of`), and the product of parallel processes (`needs`). A network
knows nothing of lanes or drinks; `parts` makes one from a routine.
"""

import heapq
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from graphlib import CycleError, TopologicalSorter
from itertools import chain

from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.routine.network import Cycle
from server.domain.routine.routine import cycle_sentence


@dataclass(frozen=True)
class Fallback:
    """What the presenter does about a process that is late, instead of waiting for it.

    They wait `patience_s` from the moment its product is needed, and in any case until `by_s` on
    the elapsed clock; then they take the fallback, which costs `cost_s` extra.
    """

    patience_s: float = 0.0
    by_s: float = 0.0
    cost_s: float = 0.0

    def __post_init__(self) -> None:
        if min(self.patience_s, self.by_s, self.cost_s) < 0:
            raise InvalidInput.of("fallback", "Times of a fallback cannot be negative.")

    def limit_s(self, arrival_s: float) -> float:
        """The moment at which waiting ends for a presenter who needs the product at `arrival_s`."""
        return max(arrival_s + self.patience_s, self.by_s)


@dataclass(frozen=True)
class ProcessNeed:
    """A process whose product is needed; without a fallback it is waited for, however long."""

    process_id: str
    fallback: Fallback | None = None


@dataclass(frozen=True)
class Activity:
    """Something that takes time; `counts` says whether the finish waits for its end."""

    id: str
    name: str
    after: tuple[str, ...] = ()
    with_start_of: tuple[str, ...] = ()
    needs: tuple[ProcessNeed, ...] = ()
    counts: bool = True

    @property
    def waits_for(self) -> Iterator[str]:
        """The ids of everything it waits for."""
        return chain(self.after, self.with_start_of, (need.process_id for need in self.needs))


@dataclass(frozen=True)
class Network:
    """Activities in an order in which each stands behind all it waits for; see `build`."""

    activities: tuple[Activity, ...]

    @property
    def last_ids(self) -> tuple[str, ...]:
        """The counted activities after whose end no other counted one waits: the finish."""
        counted = [activity for activity in self.activities if activity.counts]
        awaited = {other for activity in counted for other in activity.after}
        return tuple(activity.id for activity in counted if activity.id not in awaited)


def build(activities: Sequence[Activity]) -> Network:
    """The network of `activities`, kept in the order given as far as waiting allows.

    Links that follow from others are left out. Raises InvalidInput for two activities of one id,
    for a link to an activity that is not there, and for a circle of waiting, with its members.
    """
    by_id = {activity.id: activity for activity in activities}
    if len(by_id) < len(activities):
        raise InvalidInput.of("id", "Two parts of the plan carry the same id.")
    refuse_if(_unknown(activities, by_id))
    return Network(tuple(_without_detours(by_id[each] for each in _in_order(by_id))))


def _unknown(activities: Iterable[Activity], by_id: Mapping[str, Activity]) -> list[Fault]:
    return [
        Fault("after", f"“{activity.name}” waits for a part that is not in the plan.")
        for activity in activities
        if not by_id.keys() >= set(activity.waits_for)
    ]


def _in_order(by_id: Mapping[str, Activity]) -> list[str]:
    ranks = {each: rank for rank, each in enumerate(by_id)}
    waiting = {each: set(activity.waits_for) for each, activity in by_id.items()}
    followers: dict[str, list[str]] = {each: [] for each in by_id}
    for each, others in waiting.items():
        for other in others:
            followers[other].append(each)
    free = [(ranks[each], each) for each, others in waiting.items() if not others]
    ordered = []
    while free:
        _, each = heapq.heappop(free)
        ordered.append(each)
        for follower in followers[each]:
            waiting[follower].discard(each)
            if not waiting[follower]:
                heapq.heappush(free, (ranks[follower], follower))
    if len(ordered) < len(by_id):
        raise InvalidInput.of("after", _cycle_sentence(by_id))
    return ordered


def _cycle_sentence(by_id: Mapping[str, Activity]) -> str:
    try:
        TopologicalSorter({each: set(part.waits_for) for each, part in by_id.items()}).prepare()
    except CycleError as error:
        return cycle_sentence(Cycle("", tuple(by_id[each].name for each in error.args[1])))
    raise AssertionError("called without a circle")  # pragma: no cover


def _without_detours(ordered: Iterable[Activity]) -> Iterator[Activity]:
    """Each activity without the links that its other links already imply."""
    bits: dict[str, int] = {}
    ancestors: dict[str, int] = {}
    for activity in ordered:
        bits[activity.id] = 1 << len(bits)
        if len(activity.after) < 2 and not activity.with_start_of:
            # One link implies no other, and most activities have but one.
            (only,) = activity.after or ("",)
            ancestors[activity.id] = ancestors.get(only, 0) | bits.get(only, 0)
            yield activity
            continue
        implied = 0
        for other in activity.after:
            implied |= ancestors[other]
        after = tuple(o for o in dict.fromkeys(activity.after) if not bits[o] & implied)
        past = implied
        for other in after:
            past |= bits[other]
        ancestors[activity.id] = past
        starts = tuple(o for o in dict.fromkeys(activity.with_start_of) if not bits[o] & past)
        if (after, starts) == (activity.after, activity.with_start_of):
            yield activity
        else:
            yield replace(activity, after=after, with_start_of=starts)
