"""Who waits for whom: segments in order, processes hung between them.

Segments wait for one another as `lanes` tells; a process starts when one segment ends and must be
ready before another starts. A routine in which waiting closes a circle cannot be performed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Protocol

from server.domain.routine.lanes import InLanes, waits_of


class _Part(Protocol):
    @property
    def id(self) -> str: ...
    @property
    def name(self) -> str: ...


class _Segment(_Part, InLanes, Protocol): ...


class _Link(_Part, Protocol):
    @property
    def after_segment_id(self) -> str | None: ...
    @property
    def before_segment_id(self) -> str | None: ...


@dataclass(frozen=True)
class Cycle:
    """A circle of waiting: the process that closes it, and the names along it in order.

    `process_name` is empty where segments alone close it.
    """

    process_name: str
    names: tuple[str, ...]


def first_cycle(segments: Sequence[_Segment], processes: Iterable[_Link]) -> Cycle | None:
    """The first circle of waiting found, or None where the parts can be performed."""
    processes = list(processes)
    graph = {
        each: {*waits.after, *waits.with_start_of} for each, waits in waits_of(segments).items()
    }
    for process in processes:
        waits_for = graph.setdefault(process.id, set())
        if process.after_segment_id in graph:
            waits_for.add(process.after_segment_id)
        if process.before_segment_id in graph:
            graph[process.before_segment_id].add(process.id)
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return _named(error.args[1], segments, processes)
    return None


def _named(ids: Sequence[str], segments: Sequence[_Segment], processes: Sequence[_Link]) -> Cycle:
    names = {part.id: part.name for part in (*segments, *processes)}
    in_cycle = [process.name for process in processes if process.id in ids]
    return Cycle(
        process_name=in_cycle[0] if in_cycle else "", names=tuple(names[part_id] for part_id in ids)
    )
