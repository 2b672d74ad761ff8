"""What a browser is asked to answer, once, within minutes: in the database, for any worker to read.

Only the browser that was asked holds the key to it; of that only a hash is kept.
"""

import secrets

from sqlmodel import Session, col, delete

from server.store.devices import hash_of
from server.store.people.table import ChallengeRow

CHALLENGE_LASTS_MS = 5 * 60_000


def put_challenge(session: Session, purpose: str, document: str, now_ms: int) -> str:
    """Keep what is asked; returns the key for the browser. What nobody answered in time goes."""
    key = secrets.token_urlsafe(32)
    session.exec(delete(ChallengeRow).where(col(ChallengeRow.expires_ms) <= now_ms))
    session.add(
        ChallengeRow(
            key_hash=hash_of(key),
            purpose=purpose,
            document=document,
            expires_ms=now_ms + CHALLENGE_LASTS_MS,
        )
    )
    return key


def take_challenge(session: Session, key: str, purpose: str, now_ms: int) -> str | None:
    """What was asked of the browser with this key, once; None where nothing was, or too long ago.

    Whatever the answer is worth: it is gone with this.
    """
    row = session.get(ChallengeRow, hash_of(key)) if key else None
    if row is None or row.purpose != purpose:
        return None
    session.delete(row)
    return row.document if row.expires_ms > now_ms else None
