"""Runs of a file as rows, worked out before the writer is held, and in lots that it writes quickly.

A mark of a run on stage waits for whoever writes. So a lot is small, all that takes time is done
before it, and others have their turn between two.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import insert
from sqlmodel import Session

from server.domain.runs.folding import Folding
from server.domain.whole.exchange import RunRecord, to_json
from server.store.database import MOST_ROWS
from server.store.engines.insert_new import InsertNew
from server.store.plans import PlanFrame
from server.store.run_logs import derived_of
from server.store.run_rows import columns_of
from server.store.tables import EventRow, RunRow

_RUNS = insert(RunRow)
_EVENTS = InsertNew(EventRow, "run_id", "id")


@dataclass
class Lot:
    """Some runs, and events of these or of runs in lots before it."""

    runs: list[dict[str, Any]] = field(default_factory=list)
    events: list[dict[str, Any]] = field(default_factory=list)

    @property
    def size(self) -> int:
        """How many rows it has."""
        return len(self.runs) + len(self.events)

    def put(self, session: Session) -> None:
        """Write it. Raises IntegrityError for a run whose id is taken."""
        if self.runs:
            session.connection().execute(_RUNS, self.runs)
        if self.events:
            _EVENTS.put(session, self.events)


def lots(
    records: Iterable[RunRecord], routine_id: str, frames: Mapping[str, PlanFrame], now_ms: int
) -> Iterator[Lot]:
    """The runs of a routine in lots; `frames` holds the frame of every plan by its key.

    A run has as many events as its file: it was a run once, and is not to be cut. Of two events
    with one id the first stands.
    """
    lot = Lot()
    for record in records:
        # Of two events with one id a fold keeps the last, the rows the first: so it is turned.
        state = Folding(frames[record.plan_key].outline, reversed(record.events)).state()
        derived = derived_of(state, frames[record.plan_key])
        lot.runs.append(columns_of(routine_id, record) | derived)
        for event in record.events:
            if lot.size >= MOST_ROWS:
                yield lot
                lot = Lot()
            document = to_json(event)
            lot.events.append(
                {"run_id": record.id, "id": event.id, "received_ms": now_ms, "document": document}
            )
        if lot.size >= MOST_ROWS:
            yield lot
            lot = Lot()
    if lot.size:
        yield lot
