"""Passkeys: several for each person, each with a name, its public key and how often it signed."""

from dataclasses import dataclass

from sqlmodel import Session, select

from server.domain.base.errors import Conflict, NotFound, refuse_if
from server.domain.base.text import name_faults
from server.store.people.table import PasskeyRow

MOST_EACH = 20


@dataclass(frozen=True)
class Passkey:
    """A passkey; `id` (its authenticator's) and `public_key` (COSE) are written in base64url."""

    id: str
    person_id: str
    name: str
    public_key: str
    signs: int
    """As far as it counts; 0 where it does not."""
    made_ms: int
    used_ms: int | None


def add_passkey(session: Session, passkey: Passkey) -> None:
    """Let a person sign in by a passkey.

    Raises InvalidInput for a name that is missing or too long, Conflict for one that is there.
    """
    refuse_if(name_faults(passkey.name))
    if session.get(PasskeyRow, passkey.id) is not None:
        raise Conflict("This passkey is kept here already.")
    if len(passkeys_of(session, passkey.person_id)) >= MOST_EACH:
        raise Conflict(f"You have {MOST_EACH} passkeys: remove one first.")
    session.add(
        PasskeyRow(
            id=passkey.id,
            person_id=passkey.person_id,
            name=passkey.name,
            public_key=passkey.public_key,
            signs=passkey.signs,
            made_ms=passkey.made_ms,
        )
    )


def passkeys_of(session: Session, person_id: str) -> list[Passkey]:
    """A person's passkeys, the oldest first."""
    chosen = select(PasskeyRow).where(PasskeyRow.person_id == person_id)
    rows = session.exec(chosen.order_by(PasskeyRow.made_ms, PasskeyRow.id))  # type: ignore[arg-type]
    return [_passkey(row) for row in rows]


def find_passkey(session: Session, passkey_id: str) -> Passkey | None:
    """The passkey that an authenticator calls so."""
    row = session.get(PasskeyRow, passkey_id)
    return None if row is None else _passkey(row)


def note_signed(session: Session, passkey_id: str, signs: int, now_ms: int) -> None:
    """Remember that a passkey signed, and how often it says it has by now."""
    row = session.get(PasskeyRow, passkey_id)
    if row is not None:
        row.signs, row.used_ms = signs, now_ms
        session.add(row)


def remove_passkey(session: Session, person_id: str, passkey_id: str) -> None:
    """Let a person sign in by it no longer. Raises NotFound for any that is not theirs."""
    row = session.get(PasskeyRow, passkey_id)
    if row is None or row.person_id != person_id:
        raise NotFound("You have no such passkey.")
    session.delete(row)


def _passkey(row: PasskeyRow) -> Passkey:
    return Passkey(
        row.id, row.person_id, row.name, row.public_key, row.signs, row.made_ms, row.used_ms
    )
