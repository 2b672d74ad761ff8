"""What one who watches a run may add to its log: remarks of their own, and nothing else."""

from collections.abc import Collection, Iterator, Sequence

from server.domain.base.errors import Fault, refuse_if
from server.domain.runs.events import Event


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
