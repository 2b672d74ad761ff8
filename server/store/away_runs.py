"""Runs that a device began by itself, while the server was away: their marks make them."""

from collections.abc import Sequence

from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.base.ids import is_id
from server.domain.runs.events import Event
from server.domain.whole.exchange import RunRecord
from server.store.routines import touch_routine
from server.store.run_rows import new_row
from server.store.tables import RunRow


def provide_run(session: Session, run_id: str, events: Sequence[Event], now_ms: int) -> None:
    """Make a run that is not here, if a start among `events` names one whose plan it goes by.

    Its plan is the frozen one that the device had on its page, whatever became of the routine, or
    of that run, since. Raises InvalidInput where the id is none.
    """
    origin_id = next((event.from_run for event in events if event.from_run is not None), None)
    if origin_id is None or session.get(RunRow, run_id) is not None:
        return
    origin = session.get(RunRow, origin_id)
    if origin is None:
        return
    if not is_id(run_id):
        raise InvalidInput.of("run_id", "The id of a run has 1 to 64 letters, figures, - and _.")
    session.add(new_row(origin.routine_id, RunRecord(run_id, origin.plan_key, now_ms, "stage")))
    touch_routine(session, origin.routine_id)
    session.flush()
