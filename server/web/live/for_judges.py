"""What of a run a judge is told while it goes on: the stage, and their own remarks, no others'."""

from collections.abc import Sequence

from fastapi.concurrency import run_in_threadpool
from sqlmodel import Session

from server.domain.runs.events import Event
from server.domain.runs.watching import is_for_judges
from server.store.database import Database
from server.store.devices import names_of
from server.store.run_logs import event_of
from server.store.watchers import Watcher
from server.web.live.frames import StreamFrame


def events_for_judge(
    session: Session, run_id: str, watcher: Watcher, log: Sequence[Event]
) -> tuple[Event, ...]:
    """The events of a run's log that a judge is told."""
    own = names_of(session, run_id, watcher.key)
    return tuple(event for event in log if is_for_judges(event, own))


class JudgesView:
    """The stream of a run as one judge sees it."""

    def __init__(self, database: Database, run_id: str, watcher: Watcher) -> None:
        self._database = database
        self._run_id = run_id
        self._watcher = watcher
        self._own: set[str] = set()

    async def of(self, frames: Sequence[StreamFrame]) -> list[StreamFrame]:
        """The frames of a stream that a judge is told."""
        events = [event_of(frame.document) if frame.document else None for frame in frames]
        # Under their own name others may stand too: then the database knows who it was.
        if any(event and event.who in self._watcher.names for event in events):
            self._own = await run_in_threadpool(self._names)
        return [
            frame
            for frame, event in zip(frames, events, strict=True)
            if event is None or is_for_judges(event, self._own)
        ]

    def _names(self) -> set[str]:
        with self._database.reading() as session:
            return names_of(session, self._run_id, self._watcher.key)
