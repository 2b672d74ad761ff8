"""What the recogniser has to do, in the database: it survives a restart of the app.

A job is "waiting" until its turn comes, "working" while it is listened to, "failed" where that
did not go; `job_says` then says why. Whoever works on one says again and again that it lives; what
it leaves without a word is done by another.
"""

import json
from collections.abc import Sequence
from dataclasses import astuple

from sqlalchemy import ColumnElement
from sqlmodel import Session, and_, col, or_, select

from server.domain.base.errors import Conflict
from server.domain.heard.probe import SecondThought
from server.store.heard.table import TakeRow
from server.store.heard.takes import live_take, save_take, set_words

WAITING, WORKING, FAILED = "waiting", "working", "failed"

AGAIN = "again"
"""What is to be done, where that is not to find the words: listen to what was not heard."""

LEASE_MS = 30_000
"""Who works on a take says so three times as often; heard no more for so long, it is gone."""


def ask_for_words(session: Session, take_id: str) -> None:
    """Have a take listened to. Raises NotFound, Gone, and Conflict for one without sound."""
    row = live_take(session, take_id)
    if row.recording_id is None and not row.done:
        raise Conflict("There is no sound to be listened to yet.")
    if row.job != WORKING:
        row.job_what = ""
        _put(session, row, WAITING)


def ask_again(session: Session, take_id: str) -> None:
    """Have what was not heard of a take listened to once more, unless something is to be done.

    Raises NotFound, Gone, and Conflict for one without words or sound.
    """
    row = live_take(session, take_id)
    if row.words is None or (row.recording_id is None and not row.done):
        raise Conflict("It takes both words and their sound to listen again.")
    if row.job not in (WAITING, WORKING):
        row.job_what = AGAIN
        _put(session, row, WAITING)


def cancel_job(session: Session, take_id: str) -> None:
    """Leave a take unheard."""
    _put(session, live_take(session, take_id), "")


def begin_anew_after_restart(session: Session) -> None:
    """What was being listened to when the app stopped waits again; only where no other runs."""
    for row in session.exec(select(TakeRow).where(TakeRow.job == WORKING)).all():
        _put(session, row, WAITING)


def next_job(session: Session, worker: str, now_ms: int) -> str | None:
    """The take whose turn it is, which `worker` now works on; None where nothing waits."""
    row = session.exec(
        select(TakeRow)
        .where(_is_to_do(now_ms))
        .order_by(col(TakeRow.created_ms), TakeRow.id)
        .limit(1)
        .with_for_update(skip_locked=True)
    ).first()
    if row is None:
        return None
    row.job_by, row.job_until_ms = worker, now_ms + LEASE_MS
    _put(session, row, WORKING)
    return row.id


def are_waiting(session: Session, now_ms: int) -> bool:
    """Whether there is a take that waits or was left."""
    return session.exec(select(TakeRow.id).where(_is_to_do(now_ms)).limit(1)).first() is not None


def go_on(session: Session, take_id: str, worker: str, now_ms: int) -> bool:
    """Say that `worker` lives and is at it; False where it shall leave the take alone."""
    row = _worked_on(session, take_id, worker)
    if row is None:
        return False
    row.job_until_ms = now_ms + LEASE_MS
    session.add(row)
    return True


def note_share(session: Session, take_id: str, worker: str, share: int) -> None:
    """Note how much of a take was listened to, in per cent."""
    row = _worked_on(session, take_id, worker)
    if row is not None:
        row.job_share = share
        session.add(row)


def end_job(session: Session, take_id: str, worker: str, words: str, words_from: str) -> bool:
    """Give a take the words that were heard, unless that was cancelled; whether it got them."""
    if _worked_on(session, take_id, worker) is None:
        return False
    set_words(session, take_id, words, words_from)
    return True


def end_again(
    session: Session, take_id: str, worker: str, thoughts: Sequence[SecondThought]
) -> None:
    """Keep what a second listening thinks, unless that was cancelled meanwhile."""
    row = _worked_on(session, take_id, worker)
    if row is not None:
        row.again = json.dumps([astuple(each) for each in thoughts], ensure_ascii=False)
        _put(session, row, "")


def fail_job(session: Session, take_id: str, worker: str, why: str) -> None:
    """Note why a take could not be listened to, unless that was cancelled meanwhile."""
    row = _worked_on(session, take_id, worker)
    if row is not None:
        _put(session, row, FAILED, why)


def _is_to_do(now_ms: int) -> ColumnElement[bool]:
    is_left = and_(col(TakeRow.job) == WORKING, col(TakeRow.job_until_ms) <= now_ms)
    return and_(or_(col(TakeRow.job) == WAITING, is_left), col(TakeRow.deleted_ms).is_(None))


def _worked_on(session: Session, take_id: str, worker: str) -> TakeRow | None:
    """The row of a take that `worker` is to listen to; None where it no longer is."""
    row = session.get(TakeRow, take_id)
    is_its = row is not None and row.deleted_ms is None and row.job == WORKING
    return row if row is not None and is_its and row.job_by == worker else None


def _put(session: Session, row: TakeRow, job: str, says: str = "") -> None:
    row.job, row.job_share, row.job_says = job, 0, says
    save_take(session, row)
