"""A link that makes an account and, with it, a share of a routine."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlmodel import Session

from server.domain.base.errors import Conflict
from server.domain.base.standings import Standing
from server.domain.people.person import Person
from server.domain.whole.exchange import from_json
from server.store.sharing.shares import give_share, grants_on, sharers_of

if TYPE_CHECKING:
    from server.store.people.invitations import PersonInvitation


THERE = "You stand to this routine already. The link is still good for somebody else."


@dataclass(frozen=True)
class OfferedShare:
    """What else a person is invited to: how they are to stand to a routine."""

    routine_id: str
    standing: Standing
    hears: bool = False


def share_on_arrival(
    session: Session, person: Person, invitation: "PersonInvitation", now_ms: int
) -> None:
    """Make true what an invitation promised, while whoever wrote it still owns the routine.

    Raises Conflict for one who stands to it already.
    """
    if invitation.document is None:
        return
    offered = from_json(OfferedShare, invitation.document)
    if any(each.person_id == person.id for each in sharers_of(session, offered.routine_id)):
        raise Conflict(THERE)
    if "own" in grants_on(session, invitation.invited_by.id, offered.routine_id):
        give_share(
            session,
            offered.routine_id,
            person.id,
            offered.standing,
            now_ms,
            hears=offered.hears,
        )
