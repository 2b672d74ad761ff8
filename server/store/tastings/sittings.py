"""Sittings: kept as they were set up, open to tasters by a code, deleted and brought back."""

import secrets
from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.domain.base.errors import Conflict, Gone
from server.domain.runs.joining import CODE_LASTS_MS, StandingCode, opened_by, unused_code
from server.domain.tasters.sitting import Sitting
from server.domain.whole.exchange import to_json
from server.store.database import row_there
from server.store.readable import readable
from server.store.routines import touch_routine
from server.store.tastings.table import SittingRow


@dataclass(frozen=True)
class StoredSitting:
    """A sitting with the code that opens it just now ("" for none)."""

    sitting: Sitting
    code: str
    deleted: bool


def keep_sitting(session: Session, sitting: Sitting) -> None:
    """Keep a new sitting; no code opens it yet."""
    row = SittingRow(
        id=sitting.id,
        routine_id=sitting.routine_id,
        made_ms=sitting.made_ms,
        document=to_json(sitting),
    )
    session.add(row)
    touch_routine(session, sitting.routine_id)


def load_sitting(session: Session, sitting_id: str, now_ms: int) -> StoredSitting:
    """A sitting, a deleted one too. Raises NotFound, and Conflict where it was damaged."""
    row = _row(session, sitting_id)
    sitting = readable(Sitting, row.document, f"routine {row.routine_id}")
    if sitting is None:
        raise Conflict("This tasting cannot be read: it was damaged on the disk.")
    code = row.code if row.code_expires_ms > now_ms and row.deleted_ms is None else ""
    return StoredSitting(sitting, code, row.deleted_ms is not None)


def require_sitting(session: Session, sitting_id: str, now_ms: int) -> StoredSitting:
    """A sitting that was not deleted. Raises NotFound and Gone."""
    stored = load_sitting(session, sitting_id, now_ms)
    if stored.deleted:
        raise Gone("This tasting was deleted.")
    return stored


def sittings_of(session: Session, routine_id: str) -> list[Sitting]:
    """The sittings of a routine, the latest first; damaged ones and deleted ones left out."""
    chosen = select(SittingRow.document).where(
        SittingRow.routine_id == routine_id, col(SittingRow.deleted_ms).is_(None)
    )
    documents = session.exec(chosen.order_by(col(SittingRow.made_ms).desc(), SittingRow.id))
    read = (readable(Sitting, document, f"routine {routine_id}") for document in documents)
    return [sitting for sitting in read if sitting is not None]


def open_sitting(session: Session, sitting_id: str, now_ms: int) -> None:
    """Open a sitting by a new code; an earlier one opens no longer. Raises NotFound and Gone."""
    require_sitting(session, sitting_id, now_ms)
    row = _row(session, sitting_id)
    taken = set(session.exec(select(SittingRow.code)))
    row.code = unused_code(secrets.choice, taken)
    row.code_expires_ms = now_ms + CODE_LASTS_MS
    session.add(row)


def close_sitting(session: Session, sitting_id: str) -> None:
    """Let nobody else in. Who joined may finish, also later. Raises NotFound."""
    row = _row(session, sitting_id)
    row.code, row.code_expires_ms = "", 0
    session.add(row)


def sitting_to_join(session: Session, typed: str, now_ms: int) -> str:
    """The id of the sitting that a typed code opens. Raises InvalidInput for any other."""
    standing = select(SittingRow).where(col(SittingRow.deleted_ms).is_(None), SittingRow.code != "")
    codes = [StandingCode(row.code, row.id, row.code_expires_ms) for row in session.exec(standing)]
    return opened_by(typed, codes, now_ms, what="tasting", who="host")


def set_sitting_deleted(session: Session, sitting_id: str, deleted_ms: int | None) -> Sitting:
    """Delete a sitting, or with None bring it back; its answers stay with it. Raises NotFound."""
    row = _row(session, sitting_id)
    row.deleted_ms = deleted_ms
    session.add(row)
    touch_routine(session, row.routine_id)
    return load_sitting(session, sitting_id, 0).sitting


def _row(session: Session, sitting_id: str) -> SittingRow:
    return row_there(session, SittingRow, sitting_id, "There is no such tasting.")
