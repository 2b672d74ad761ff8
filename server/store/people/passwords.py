"""Passwords as they are kept: what argon2 makes of them, at the costs its library recommends.

To hash takes a tenth of a second and 64 MB on purpose: never while the writer is held.
"""

import logging
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from sqlmodel import Session, select

from server.domain.people.passwords import MOST, settled
from server.domain.people.person import sign_in_key
from server.store.database import row_there
from server.store.people.table import PersonRow

if TYPE_CHECKING:
    from argon2 import PasswordHasher

_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Credentials:
    """What is held against a password: whose it is, and what is kept of theirs."""

    person_id: str = ""
    """ "" for a name that nobody signs in by, or no longer."""
    kept: str | None = None


def credentials_for(session: Session, sign_in: str) -> Credentials:
    """What is held against the password of whoever signs in by this name."""
    chosen = select(PersonRow).where(PersonRow.sign_in_key == sign_in_key(sign_in))
    row = session.exec(chosen).first()
    return Credentials() if row is None or row.ended_ms else Credentials(row.id, row.password)


def credentials_of(session: Session, person_id: str) -> Credentials:
    """What is held against the password of a person. Raises NotFound."""
    row = _row(session, person_id)
    return Credentials(row.id, row.password)


def keep_password(session: Session, person_id: str, kept: str) -> None:
    """From now on a person's password is the one this was made of. Raises NotFound."""
    row = _row(session, person_id)
    row.password = kept
    session.add(row)


def hashed(password: str) -> str:
    """What is kept of a password. It takes a while, and needs no database."""
    return _hasher().hash(settled(password))


def fits(credentials: Credentials, password: str) -> bool:
    """Whether a password is the one; it takes as long where there is none to hold it against."""
    from argon2.exceptions import Argon2Error, InvalidHashError, VerifyMismatchError

    nobodys = _nobodys()
    kept = credentials.kept or nobodys
    try:
        is_right = _hasher().verify(kept, settled(password[: MOST * 4]))
    except VerifyMismatchError:
        return False
    except (Argon2Error, InvalidHashError) as error:
        # Too little memory, or a hash that was damaged: nobody would look for that behind a no.
        _log.error("A password could not be held against what is kept: %s", error)
        return False
    return is_right and credentials.kept is not None


def is_outdated(kept: str) -> bool:
    """Whether it was made at costs that are no longer the recommended ones."""
    return _hasher().check_needs_rehash(kept)


def _row(session: Session, person_id: str) -> PersonRow:
    return row_there(session, PersonRow, person_id, "There is no such person.")


@cache
def _hasher() -> "PasswordHasher":
    # Loaded only where people have accounts.
    from argon2 import PasswordHasher

    return PasswordHasher()


@cache
def _nobodys() -> str:
    """What a password is held against where nobody's is there."""
    return _hasher().hash(b"nobody's password, which nobody can type: \x00")
