"""Whose the events are that arrive for a run: nobody marks under the name of another device.

In a log a device has a name of its own making. It belongs to the first who wrote under it, by the
secret in their cookie: so who holds the clock is the device that holds that secret, and not one
that says its name. Another of the owner's takes the clock over on purpose, under its own.
"""

from collections.abc import Sequence

from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.runs.events import Event, is_desk
from server.domain.runs.watching import require_own_remarks
from server.store.devices import keep_names, names_of, owners_of
from server.store.run_logs import events_of
from server.store.watchers import Watcher
from server.web.frame.door import Asker
from server.web.frame.offered.asker import NOT_HERE

NOT_ITS_NAME = (
    "Another device marks this run under this name. What this one marked stays on it: save it as "
    "a file, or take the clock over here."
)


def require_may_begin(session: Session, run_id: str, events: Sequence[Event], asker: Asker) -> None:
    """Raises NotFound where marks would make a run of a routine that who asks may not present."""
    if asker.person is None or asker.grants.routine_id is not None:
        return  # Nobody is told apart; or the run was there, and the door has looked.
    # Loaded where people have accounts alone.
    from server.store.sharing.belonging import routine_of
    from server.store.sharing.shares import grants_on

    origin = next((event.from_run for event in events if event.from_run is not None), "")
    # It may have come to be since the door looked: then whose it is decides.
    routine_id = routine_of(session, {"run_id": run_id}) or routine_of(session, {"run_id": origin})
    if routine_id is None or "send" not in grants_on(session, asker.person.id, routine_id):
        raise NotFound(NOT_HERE)


def require_own(session: Session, run_id: str, events: Sequence[Event], asker: Asker) -> None:
    """Raises InvalidInput where an event stands under a name that is not the asker's, or is none
    that a watcher makes.
    """
    if not asker.key:
        return  # The door is open: nobody is told apart.
    names = {event.device_id for event in events}
    owners = owners_of(session, run_id, names)
    if any(map(is_desk, names)) or set(owners.values()) - asker.keys:
        raise InvalidInput.of("device_id", NOT_ITS_NAME)
    fresh = names - owners.keys()
    if asker.watcher is not None:
        _require_watchers_own(session, run_id, events, asker.watcher, fresh)
    if fresh:
        keep_names(session, run_id, fresh, asker.key)


def _require_watchers_own(
    session: Session, run_id: str, events: Sequence[Event], watcher: Watcher, fresh: set[str]
) -> None:
    takes_back = any(event.kind == "retract" for event in events)
    log = events_of(session, run_id) if fresh or takes_back else ()
    # Logs are older than the rule: a name that stands in one is somebody's, if not known whose.
    if fresh & {event.device_id for event in log}:
        raise InvalidInput.of("device_id", NOT_ITS_NAME)
    own = names_of(session, run_id, watcher.key) if takes_back else set()
    ids = {event.id for event in log if event.device_id in own}
    require_own_remarks(events, watcher.names, ids)
