"""Which routine something belongs to: one small question for each kind of id in an address."""

from collections.abc import Callable, Mapping

from sqlmodel import Session, select

from server.store.heard.table import TakeRow
from server.store.tables import RoutineRow, RunRow
from server.store.tastings.table import SittingRow
from server.store.uploads.table import RecordingRow


def _routine(session: Session, routine_id: str) -> str | None:
    return session.exec(select(RoutineRow.id).where(RoutineRow.id == routine_id)).first()


def _run(session: Session, run_id: str) -> str | None:
    return session.exec(select(RunRow.routine_id).where(RunRow.id == run_id)).first()


def _take(session: Session, take_id: str) -> str | None:
    return session.exec(select(TakeRow.routine_id).where(TakeRow.id == take_id)).first()


def _recording(session: Session, recording_id: str) -> str | None:
    asked = select(RecordingRow.run_id).where(RecordingRow.id == recording_id)
    run_id = session.exec(asked).first()
    return None if run_id is None else _run(session, run_id)


def _sitting(session: Session, sitting_id: str) -> str | None:
    asked = select(SittingRow.routine_id).where(SittingRow.id == sitting_id)
    return session.exec(asked).first()


OWNED: Mapping[str, Callable[[Session, str], str | None]] = {
    "routine_id": _routine,
    "run_id": _run,
    "take_id": _take,
    "recording_id": _recording,
    "sitting_id": _sitting,
}
"""What an id in an address is called -> the routine of what has it; None where nothing has."""


def routine_of(session: Session, ids: Mapping[str, str]) -> str | None:
    """The routine that everything named in an address belongs to, deleted things included.

    None where something named is not there, or where two things are of two routines: a run is not
    to be had through the address of somebody else's.
    """
    found = {OWNED[name](session, value) for name, value in ids.items() if name in OWNED}
    return found.pop() if len(found) == 1 else None
