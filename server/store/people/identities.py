"""Who an organisation's own sign-in knows a person as: its address and its name for them."""

from sqlmodel import Session, select

from server.domain.base.errors import Conflict
from server.store.people.table import IdentityRow


def person_known_as(session: Session, issuer: str, subject: str) -> str | None:
    """The id of the person whom an organisation knows by this name; None for one it never sent."""
    row = session.get(IdentityRow, (issuer, subject))
    return None if row is None else row.person_id


def is_known(session: Session, issuer: str, person_id: str) -> bool:
    """Whether this organisation sends a person already."""
    chosen = select(IdentityRow).where(IdentityRow.person_id == person_id)
    return session.exec(chosen.where(IdentityRow.issuer == issuer)).first() is not None


def know_as(session: Session, issuer: str, subject: str, person_id: str) -> None:
    """From now on whom the organisation knows by this name is this person.

    Raises Conflict where it is somebody else already.
    """
    known = person_known_as(session, issuer, subject)
    if known is None:
        session.add(IdentityRow(issuer=issuer, subject=subject, person_id=person_id))
    elif known != person_id:
        raise Conflict("Somebody else here signs in by this sign-in of your organisation.")
