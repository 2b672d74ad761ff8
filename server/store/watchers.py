"""Who may watch a run: the code to join it by, and the tokens of those who did."""

import secrets
from dataclasses import dataclass
from hashlib import sha256
from hmac import compare_digest

from sqlmodel import Session, col, delete, select

from server.domain.base.errors import InvalidInput
from server.domain.runs.joining import CODE_LASTS_MS, PASS_LASTS_MS, join_code, read_code
from server.store.runs import require_run
from server.store.tables import JoinCodeRow, RunRow, WatcherRow


@dataclass(frozen=True)
class JoinCode:
    """The code by which a run is joined, and the time from which on it no longer opens."""

    run_id: str
    code: str
    expires_ms: int


@dataclass(frozen=True)
class Watcher:
    """One who joined a run; `key` tells them from others of the same name."""

    key: str
    name: str
    joined_ms: int


def open_to_watchers(session: Session, run_id: str, now_ms: int) -> JoinCode:
    """Open a run to those who are given its new code; an earlier code opens no longer.

    Who joined by that one stays. Raises NotFound and Gone.
    """
    require_run(session, run_id)
    row = session.get(JoinCodeRow, run_id) or JoinCodeRow(run_id=run_id, code="", expires_ms=0)
    row.code = _unused_code(session)
    row.expires_ms = now_ms + CODE_LASTS_MS
    session.add(row)
    session.exec(delete(WatcherRow).where(col(WatcherRow.expires_ms) <= now_ms))
    return JoinCode(run_id, row.code, row.expires_ms)


def close_to_watchers(session: Session, run_id: str) -> None:
    """Let nobody in any more, and shut out those who were let in."""
    session.exec(delete(JoinCodeRow).where(col(JoinCodeRow.run_id) == run_id))
    session.exec(delete(WatcherRow).where(col(WatcherRow.run_id) == run_id))


def code_of(session: Session, run_id: str, now_ms: int) -> JoinCode | None:
    """The code that opens a run just now. Raises NotFound and Gone for the run."""
    require_run(session, run_id)
    row = session.get(JoinCodeRow, run_id)
    is_open = row is not None and row.expires_ms > now_ms
    return JoinCode(run_id, row.code, row.expires_ms) if row is not None and is_open else None


def run_to_join(session: Session, typed: str, now_ms: int) -> str:
    """The id of the run that a typed code opens. Raises InvalidInput for a wrong or an old one."""
    tried = read_code(typed).encode()
    if not tried:
        raise InvalidInput.of("code", "Type the code that the presenter's screen shows.")
    # Each is compared, and in constant time: how long a refusal takes tells nothing of a code.
    found = [row for row in _codes(session) if compare_digest(row.code.encode(), tried)]
    if not found:
        raise InvalidInput.of("code", "No run opens to this code. Compare it with the presenter's.")
    if found[0].expires_ms <= now_ms:
        raise InvalidInput.of("code", "This code has expired. Ask the presenter for a new one.")
    return found[0].run_id


def admit(session: Session, run_id: str, name: str, now_ms: int) -> str:
    """Admit one more to a run; returns the token to be shown from now on, which is kept nowhere."""
    token = secrets.token_urlsafe(24)
    session.add(
        WatcherRow(
            token_hash=_hash(token),
            run_id=run_id,
            name=name,
            joined_ms=now_ms,
            expires_ms=now_ms + PASS_LASTS_MS,
        )
    )
    return token


def watcher_with(session: Session, run_id: str, token: str, now_ms: int) -> Watcher | None:
    """Who shows this token; None where it does not admit to the run, or no longer."""
    row = session.get(WatcherRow, _hash(token))
    if row is None or row.run_id != run_id or row.expires_ms <= now_ms:
        return None
    return Watcher(row.token_hash, row.name, row.joined_ms)


def who_joined(session: Session, run_id: str) -> list[Watcher]:
    """All who joined a run, in order of time."""
    chosen = select(WatcherRow).where(WatcherRow.run_id == run_id)
    rows = session.exec(chosen.order_by(col(WatcherRow.joined_ms), WatcherRow.name))
    return [Watcher(row.token_hash, row.name, row.joined_ms) for row in rows]


def _codes(session: Session) -> list[JoinCodeRow]:
    of_live_runs = select(JoinCodeRow).join(RunRow, col(RunRow.id) == JoinCodeRow.run_id)
    return list(session.exec(of_live_runs.where(col(RunRow.deleted_ms).is_(None))))


def _unused_code(session: Session) -> str:
    taken = {row.code for row in _codes(session)}
    code = join_code(secrets.choice)
    while code in taken:
        code = join_code(secrets.choice)
    return code


def _hash(token: str) -> str:
    # A token of 192 random bits needs neither salt nor stretching.
    return sha256(token.encode()).hexdigest()
