"""Who may watch a run: the code to join it by, and the tokens of those who did."""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import ColumnElement, update
from sqlmodel import Session, col, delete, select

from server.domain.base.durations import DAY_MS
from server.domain.runs.joining import (
    CODE_LASTS_MS,
    PASS_LASTS_MS,
    StandingCode,
    opened_by,
    unused_code,
)
from server.store.devices import hash_of
from server.store.runs import require_run
from server.store.tables import JoinCodeRow, RunRow, WatcherRow

REMEMBERED_MS = 30 * DAY_MS
"""So long after its end a pass still tells who joins again: their remarks of then are theirs."""


@dataclass(frozen=True)
class JoinCode:
    """The code by which a run is joined, and the time from which on it no longer opens."""

    run_id: str
    code: str
    expires_ms: int


@dataclass(frozen=True)
class Watcher:
    """One who joined a run; `key` tells them from others of the same name, and stays the same when
    the same browser joins again. `names` are all it joined under."""

    key: str
    name: str
    joined_ms: int
    names: tuple[str, ...] = ()


def open_to_watchers(session: Session, run_id: str, now_ms: int) -> JoinCode:
    """Open a run to those who are given its new code; an earlier code opens no longer.

    Who joined by that one stays. Raises NotFound and Gone.
    """
    require_run(session, run_id)
    row = session.get(JoinCodeRow, run_id) or JoinCodeRow(run_id=run_id, code="", expires_ms=0)
    row.code = unused_code(secrets.choice, {each.code for each in _codes(session)})
    row.expires_ms = now_ms + CODE_LASTS_MS
    session.add(row)
    _clear_away(session, now_ms)
    return JoinCode(run_id, row.code, row.expires_ms)


def _clear_away(session: Session, now_ms: int) -> None:
    expires_ms, ended_ms = col(WatcherRow.expires_ms), col(WatcherRow.ended_ms)
    session.exec(delete(WatcherRow).where(expires_ms <= now_ms - REMEMBERED_MS))
    over = (expires_ms <= now_ms, ended_ms.is_(None))
    session.exec(update(WatcherRow).where(*over).values(ended_ms=expires_ms))


def close_to_watchers(session: Session, run_id: str, now_ms: int) -> None:
    """Let nobody in any more, and shut out those who were let in."""
    session.exec(delete(JoinCodeRow).where(col(JoinCodeRow.run_id) == run_id))
    standing = _standing(run_id)
    session.exec(update(WatcherRow).where(*standing).values(ended_ms=now_ms))


def code_of(session: Session, run_id: str, now_ms: int) -> JoinCode | None:
    """The code that opens a run just now. Raises NotFound and Gone for the run."""
    require_run(session, run_id)
    row = session.get(JoinCodeRow, run_id)
    is_open = row is not None and row.expires_ms > now_ms
    return JoinCode(run_id, row.code, row.expires_ms) if row is not None and is_open else None


def is_open(session: Session, run_id: str, now_ms: int) -> bool:
    """Whether a run is open to watchers just now."""
    row = session.get(JoinCodeRow, run_id)
    return row is not None and row.expires_ms > now_ms


def open_runs(session: Session, routine_ids: Sequence[str], now_ms: int) -> dict[str, str]:
    """Routine -> its run that is open to watchers just now, the latest where there are several."""
    codes = {row.run_id for row in _codes(session) if row.expires_ms > now_ms}
    runs = select(RunRow.routine_id, RunRow.id).where(
        col(RunRow.id).in_(codes), col(RunRow.routine_id).in_(routine_ids)
    )
    return dict(session.exec(runs.order_by(col(RunRow.created_ms), col(RunRow.id))).all())


def run_to_join(session: Session, typed: str, now_ms: int) -> str:
    """The id of the run that a typed code opens. Raises InvalidInput for a wrong or an old one."""
    codes = [StandingCode(row.code, row.run_id, row.expires_ms) for row in _codes(session)]
    return opened_by(typed, codes, now_ms, what="run", who="presenter")


def admit(
    session: Session, run_id: str, name: str, now_ms: int, before: str = "", key: str = ""
) -> tuple[Watcher, str]:
    """Admit one to a run; returns who it is and the token to be shown, which is kept nowhere.

    `before` is the token that the same browser showed for this run: that pass ends. `key` is that
    of one who is known by other means.
    """
    token = secrets.token_urlsafe(24)
    earlier = session.get(WatcherRow, hash_of(before)) if before else None
    is_known = earlier is not None and earlier.run_id == run_id
    if not key:
        key = earlier.key if earlier is not None and is_known else secrets.token_urlsafe(9)
    if is_known:
        of_them = (*_standing(run_id), col(WatcherRow.key) == key)
        session.exec(update(WatcherRow).where(*of_them).values(ended_ms=now_ms))
    row = WatcherRow(
        token_hash=hash_of(token),
        run_id=run_id,
        name=name,
        joined_ms=now_ms,
        expires_ms=now_ms + PASS_LASTS_MS,
        key=key,
    )
    session.add(row)
    return Watcher(key, name, now_ms), token


def watcher_with(session: Session, run_id: str, token: str, now_ms: int) -> Watcher | None:
    """Who shows this token; None where it does not admit to the run, or no longer."""
    row = session.get(WatcherRow, hash_of(token)) if token else None
    if row is None or row.run_id != run_id:
        return None
    if row.expires_ms <= now_ms or row.ended_ms is not None:
        return None
    same = select(WatcherRow.name).where(WatcherRow.run_id == run_id, WatcherRow.key == row.key)
    return Watcher(row.key, row.name, row.joined_ms, tuple(session.exec(same)))


def who_joined(session: Session, run_id: str) -> list[Watcher]:
    """All who joined a run and were not shut out, in order of time."""
    chosen = select(WatcherRow).where(*_standing(run_id))
    rows = session.exec(chosen.order_by(col(WatcherRow.joined_ms), WatcherRow.name))
    return [Watcher(row.key, row.name, row.joined_ms) for row in rows]


def _standing(run_id: str) -> tuple[ColumnElement[bool], ...]:
    return col(WatcherRow.run_id) == run_id, col(WatcherRow.ended_ms).is_(None)


def _codes(session: Session) -> list[JoinCodeRow]:
    of_live_runs = select(JoinCodeRow).join(RunRow, col(RunRow.id) == JoinCodeRow.run_id)
    return list(session.exec(of_live_runs.where(col(RunRow.deleted_ms).is_(None))))
