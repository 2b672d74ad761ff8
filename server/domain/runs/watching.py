"""What one who watches a run may add to its log: remarks of their own, and nothing else.

And what of a log a judge is told: what happens on the stage, and their own remarks.
"""

from collections.abc import Collection, Iterator, Sequence

from server.domain.base.errors import Fault, refuse_if
from server.domain.runs.events import Event, Kind

ON_STAGE: frozenset[Kind] = frozenset(
    {"start", "hold", "resume", "clock_step", "done", "ready", "incident", "retract", "finish",
     "abandon"}
)  # fmt: skip
"""What tells of the clock and of what everybody in the room sees; nobody's opinion of it."""


def is_for_judges(event: Event, own: Collection[str]) -> bool:
    """Whether a judge is told of an event: others' remarks would sway them.

    `own` are the names of devices in the log that are the judge's.
    """
    return event.device_id in own or (event.who is None and event.kind in ON_STAGE)


def require_own_remarks(
    events: Sequence[Event], names: Collection[str], own: Collection[str]
) -> None:
    """Raises InvalidInput where an event is none that a watcher makes.

    `names` are those under which they joined, `own` the ids of what they remarked before.
    """
    refuse_if(_faults(events, names, {*own, *(event.id for event in events)}))


def _faults(
    events: Sequence[Event], names: Collection[str], own: Collection[str]
) -> Iterator[Fault]:
    for event in events:
        if not event.is_watched:
            yield Fault("kind", f"Who watches cannot mark “{event.kind}”.")
        elif event.who not in names:
            yield Fault("who", "A remark stands under the name its watcher joined with.")
        elif event.kind == "retract" and event.target_id not in own:
            yield Fault("target_id", "Who watches takes back their own remarks only.")
