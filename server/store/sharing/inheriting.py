"""What becomes of what a person alone owned when their account is ended."""

from sqlmodel import Session, col, select

from server.store.people.table import PersonRow
from server.store.sharing.shares import give_share, has_owner
from server.store.sharing.table import ShareRow, TeamMemberRow
from server.store.sharing.teams import put_member


def inherit(session: Session, heir_id: str, now_ms: int, ended_id: str) -> None:
    """Have a person lead the teams that nobody else leads now, and own what nobody else owns.

    Whose account is ended keeps how they stood: given back, they have it again, beside the heir.
    """
    for team_id in _led_by(session, ended_id):
        if not _has_leader(session, team_id):
            put_member(session, team_id, heir_id, leads=True)
    for routine_id in _owned_by(session, ended_id):
        if not has_owner(session, routine_id):
            give_share(session, routine_id, heir_id, "owner", now_ms)


def _led_by(session: Session, person_id: str) -> list[str]:
    led = select(TeamMemberRow.team_id).where(TeamMemberRow.person_id == person_id)
    return list(session.exec(led.where(col(TeamMemberRow.leads))))


def _owned_by(session: Session, person_id: str) -> list[str]:
    owned = select(ShareRow.routine_id).where(ShareRow.person_id == person_id)
    return list(session.exec(owned.where(ShareRow.standing == "owner")))


def _has_leader(session: Session, team_id: str) -> bool:
    leaders = (
        select(TeamMemberRow.person_id)
        .join(PersonRow, col(PersonRow.id) == col(TeamMemberRow.person_id))
        .where(TeamMemberRow.team_id == team_id, col(TeamMemberRow.leads))
        .where(col(PersonRow.ended_ms).is_(None))
    )
    return session.exec(leaders).first() is not None
