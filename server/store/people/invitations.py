"""Invitations: a link that makes one account, once, within a week, until it is withdrawn."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.domain.base.durations import DAY_MS
from server.domain.base.errors import Gone, refuse_if
from server.domain.base.text import line_faults
from server.domain.people.person import Person
from server.store.database import row_there
from server.store.devices import hash_of
from server.store.ids import new_id
from server.store.people.persons import load_person
from server.store.people.table import PersonInvitationRow
from server.store.sharing.inviting import share_on_arrival

LASTS_MS = 7 * DAY_MS

OLD = "This invitation opens no longer: it was used, withdrawn, or is older than a week. Ask for a"
OLD += " new one."


@dataclass(frozen=True)
class PersonInvitation:
    """One who is invited: by whom, until when, and what else to, if anything."""

    id: str
    name: str
    invited_by: Person
    made_ms: int
    expires_ms: int
    document: str | None = None
    """What else they are invited to, as whoever wrote it reads it."""


WHEN_ACCEPTED: tuple[Callable[[Session, Person, PersonInvitation, int], None], ...] = (
    share_on_arrival,
)
"""Called with the new person, the invitation and the time (ms) in the transaction that accepts it:
whoever wrote into `document` makes it true here."""


def invite_person(
    session: Session, invited_by: str, name: str, now_ms: int, document: str | None = None
) -> tuple[PersonInvitation, str]:
    """A new invitation, and the secret of its link, which is kept nowhere here.

    Raises InvalidInput for a name that is too long.
    """
    refuse_if(line_faults(name, "name"))
    secret = secrets.token_urlsafe(24)
    row = PersonInvitationRow(
        id=new_id(),
        secret_hash=hash_of(secret),
        name=name.strip(),
        invited_by=invited_by,
        document=document,
        made_ms=now_ms,
        expires_ms=now_ms + LASTS_MS,
    )
    session.add(row)
    session.flush()
    return _invitation(session, row), secret


def invitation_with(session: Session, secret: str, now_ms: int) -> PersonInvitation:
    """The invitation that a secret opens. Raises Gone where it opens none, or no longer."""
    return _invitation(session, _standing(session, secret, now_ms))


def accept_invitation(session: Session, secret: str, person: Person, now_ms: int) -> None:
    """An invitation made this person: it opens no longer. Raises Gone where it did not before."""
    row = _standing(session, secret, now_ms)
    row.taken_by = person.id
    session.add(row)
    for make_true in WHEN_ACCEPTED:
        make_true(session, person, _invitation(session, row), now_ms)


def standing_invitations(
    session: Session, now_ms: int, invited_by: str | None = None
) -> list[PersonInvitation]:
    """Those that still open, the newest first; of one person, or of all."""
    chosen = (
        select(PersonInvitationRow)
        .where(col(PersonInvitationRow.taken_by).is_(None))
        .where(col(PersonInvitationRow.withdrawn_ms).is_(None))
        .where(PersonInvitationRow.expires_ms > now_ms)
        .order_by(col(PersonInvitationRow.made_ms).desc(), PersonInvitationRow.id)
    )
    if invited_by is not None:
        chosen = chosen.where(PersonInvitationRow.invited_by == invited_by)
    return [_invitation(session, row) for row in session.exec(chosen)]


def withdraw_invitation(session: Session, invitation_id: str, now_ms: int) -> None:
    """Have an invitation open no longer. Raises NotFound."""
    row = row_there(session, PersonInvitationRow, invitation_id, "There is no such invitation.")
    row.withdrawn_ms = row.withdrawn_ms or now_ms
    session.add(row)


def _standing(session: Session, secret: str, now_ms: int) -> PersonInvitationRow:
    chosen = select(PersonInvitationRow).where(PersonInvitationRow.secret_hash == hash_of(secret))
    row = session.exec(chosen).first()
    is_old = row is None or row.expires_ms <= now_ms
    if row is None or is_old or row.taken_by is not None or row.withdrawn_ms is not None:
        raise Gone(OLD)
    return row


def _invitation(session: Session, row: PersonInvitationRow) -> PersonInvitation:
    by = load_person(session, row.invited_by)
    return PersonInvitation(row.id, row.name, by, row.made_ms, row.expires_ms, row.document)
