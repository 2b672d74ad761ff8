"""Ways back for one who lost their password: ten codes of their own, and a link that is given."""

import secrets

from sqlmodel import Session, col, delete, func, select

from server.domain.base.durations import DAY_MS
from server.domain.base.errors import Gone
from server.domain.people.person import Person
from server.domain.runs.joining import join_code, read_code
from server.store.devices import hash_of
from server.store.people.persons import find_person
from server.store.people.table import PersonRow, RecoveryCodeRow, ResetRow

CODES = 10
PARTS, SIGNS = 5, 5
"""A code is five times five signs of 24: 114 random bits, so that a plain hash is enough to keep
(OWASP ASVS 5.0, 6.5.2 asks for 112)."""

RESET_LASTS_MS = DAY_MS
"""A link that an admin makes."""

TERMINAL_LASTS_MS = 15 * 60_000
"""A link from the terminal is for who sits before it."""

OLD = "This link opens no longer: it was used, or its time is over. Ask for a new one."


def new_recovery_codes(session: Session, person_id: str) -> tuple[str, ...]:
    """Ten new codes, as they are shown once; those before open no longer."""
    session.exec(delete(RecoveryCodeRow).where(col(RecoveryCodeRow.person_id) == person_id))
    codes = ["-".join(join_code(secrets.choice, SIGNS) for _ in range(PARTS)) for _ in range(CODES)]
    for code in codes:
        session.add(RecoveryCodeRow(person_id=person_id, code_hash=_hash(person_id, code)))
    return tuple(codes)


def recovery_codes_left(session: Session, person_id: str) -> int:
    """How many of a person's codes are not used yet."""
    chosen = select(func.count()).select_from(RecoveryCodeRow)
    chosen = chosen.where(RecoveryCodeRow.person_id == person_id)
    return session.exec(chosen.where(col(RecoveryCodeRow.used_ms).is_(None))).one()


def use_recovery_code(session: Session, person_id: str, typed: str, now_ms: int) -> bool:
    """Whether a typed code is one of a person's; it is none from then on."""
    row = session.get(RecoveryCodeRow, (person_id, _hash(person_id, typed)))
    if row is None or row.used_ms is not None:
        return False
    row.used_ms = now_ms
    session.add(row)
    return True


def make_reset(
    session: Session, person_id: str, now_ms: int, made_by: str | None, lasts_ms: int
) -> str:
    """The secret of a link by which a person sets a new password, once; others before it end."""
    secret = secrets.token_urlsafe(24)
    session.exec(delete(ResetRow).where(col(ResetRow.person_id) == person_id))
    session.exec(delete(ResetRow).where(col(ResetRow.expires_ms) <= now_ms))
    session.add(
        ResetRow(
            secret_hash=hash_of(secret),
            person_id=person_id,
            made_by=made_by,
            expires_ms=now_ms + lasts_ms,
        )
    )
    return secret


def reset_for(session: Session, secret: str, now_ms: int) -> Person:
    """Whose password a link sets. Raises Gone where it sets none, or no longer."""
    row = session.get(ResetRow, hash_of(secret))
    person = find_person(session, row.person_id) if row and row.expires_ms > now_ms else None
    if person is None:
        raise Gone(OLD)
    return person


def use_reset(session: Session, secret: str, now_ms: int) -> Person:
    """Whose password a link sets; it sets none from then on. Raises Gone."""
    person = reset_for(session, secret, now_ms)
    session.exec(delete(ResetRow).where(col(ResetRow.person_id) == person.id))
    return person


def first_admin(session: Session) -> Person | None:
    """The admin who has been one for longest; None where nobody has an account."""
    chosen = select(PersonRow.id).where(col(PersonRow.is_admin), col(PersonRow.ended_ms).is_(None))
    found = session.exec(chosen.order_by(col(PersonRow.made_ms), PersonRow.id)).first()
    return None if found is None else find_person(session, found)


def _hash(person_id: str, code: str) -> str:
    return hash_of(f"{person_id} {read_code(code)}")
