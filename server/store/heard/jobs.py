"""What the recogniser has to do, in the database: it survives a restart of the app.

A job is "waiting" until its turn comes, "working" while it is listened to, "failed" where that
did not go; `job_says` then says why.
"""

from sqlmodel import Session, col, select

from server.domain.base.errors import Conflict
from server.store.heard.table import TakeRow
from server.store.heard.takes import live_take, save_take, set_words

WAITING, WORKING, FAILED = "waiting", "working", "failed"


def ask_for_words(session: Session, take_id: str) -> None:
    """Have a take listened to. Raises NotFound, Gone, and Conflict for one without sound."""
    row = live_take(session, take_id)
    if row.recording_id is None and not row.done:
        raise Conflict("There is no sound to be listened to yet.")
    if row.job != WORKING:
        _put(session, row, WAITING)


def cancel_job(session: Session, take_id: str) -> None:
    """Leave a take unheard."""
    _put(session, live_take(session, take_id), "")


def begin_anew_after_restart(session: Session) -> None:
    """What was being listened to when the app stopped waits again."""
    for row in session.exec(select(TakeRow).where(TakeRow.job == WORKING)).all():
        _put(session, row, WAITING)


def next_job(session: Session) -> str | None:
    """The take whose turn it is, which now is being worked on; None where nothing waits."""
    row = session.exec(
        select(TakeRow)
        .where(TakeRow.job == WAITING)
        .where(col(TakeRow.deleted_ms).is_(None))
        .order_by(col(TakeRow.created_ms), TakeRow.id)
    ).first()
    if row is None:
        return None
    _put(session, row, WORKING)
    return row.id


def is_wanted(session: Session, take_id: str) -> bool:
    """Whether a take that is being listened to still is to be."""
    row = session.get(TakeRow, take_id)
    return row is not None and row.deleted_ms is None and row.job == WORKING


def note_share(session: Session, take_id: str, share: int) -> None:
    """Note how much of a take was listened to, in per cent."""
    row = session.get(TakeRow, take_id)
    if row is not None and row.job == WORKING:
        row.job_share = share
        session.add(row)


def end_job(session: Session, take_id: str, words: str, words_from: str) -> None:
    """Give a take the words that were heard, unless that was cancelled meanwhile."""
    if is_wanted(session, take_id):
        set_words(session, take_id, words, words_from)


def fail_job(session: Session, take_id: str, why: str) -> None:
    """Note why a take could not be listened to, unless that was cancelled meanwhile."""
    if is_wanted(session, take_id):
        row = live_take(session, take_id)
        _put(session, row, FAILED, why)


def _put(session: Session, row: TakeRow, job: str, says: str = "") -> None:
    row.job, row.job_share, row.job_says = job, 0, says
    save_take(session, row)
