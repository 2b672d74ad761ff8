"""How persons stand to routines: by a share of their own, and through the teams they are in."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import cast

from sqlmodel import Session, col, select

from server.domain.base.errors import Conflict, NotFound
from server.domain.base.standings import RoutineAsk, Standing, allows, granted
from server.store.people.table import PersonRow
from server.store.sharing.table import ShareRow, TeamMemberRow, TeamRoutineRow

LAST_OWNER = "Somebody must own the routine: hand it on first, or make somebody else an owner too."


@dataclass(frozen=True)
class Sharer:
    """A person who has a share of a routine; `hears` lets a coach hear recordings."""

    person_id: str
    name: str
    standing: Standing
    hears: bool
    since_ms: int
    has_ended: bool
    """Whether their account is ended: what they stood as comes back with it."""


def grants_on(session: Session, person_id: str, routine_id: str) -> frozenset[RoutineAsk]:
    """What a person may of one routine; nothing where it is none of theirs."""
    return _grants(session, person_id, [routine_id]).get(routine_id, frozenset())


def routines_for(session: Session, person_id: str, ask: RoutineAsk) -> frozenset[str]:
    """The ids of the routines of which a person may have what asks `ask`; deleted ones too."""
    found = _grants(session, person_id, None)
    return frozenset(key for key, held in found.items() if allows(ask, held))


def all_grants(session: Session, person_id: str) -> dict[str, frozenset[RoutineAsk]]:
    """Routine id -> what a person may of it, for all that are shared with them."""
    return _grants(session, person_id, None)


def sharers_of(session: Session, routine_id: str) -> list[Sharer]:
    """Who has a share of a routine of their own, owners first."""
    rows = session.exec(
        select(ShareRow, PersonRow)
        .join(PersonRow, col(PersonRow.id) == col(ShareRow.person_id))
        .where(ShareRow.routine_id == routine_id)
        .order_by(col(ShareRow.since_ms), col(PersonRow.name), col(PersonRow.id))
    ).all()
    found = [_sharer(row, person) for row, person in rows]
    return sorted(found, key=lambda each: each.standing != "owner")


def give_share(
    session: Session,
    routine_id: str,
    person_id: str,
    standing: Standing,
    now_ms: int,
    *,
    hears: bool = False,
) -> None:
    """Have a person stand so to a routine, from now on. Raises Conflict for the last owner."""
    row = session.get(ShareRow, (routine_id, person_id))
    if row is not None and row.standing == "owner" and standing != "owner":
        _require_another_owner(session, routine_id, person_id)
    row = row or ShareRow(
        routine_id=routine_id, person_id=person_id, standing=standing, since_ms=now_ms
    )
    row.standing, row.hears = standing, hears and standing == "coach"
    session.add(row)
    session.flush()


def take_share(session: Session, routine_id: str, person_id: str) -> Sharer:
    """Take a person's share away; returns what it was. Raises NotFound, Conflict (last owner)."""
    row = session.get(ShareRow, (routine_id, person_id))
    person = session.get(PersonRow, person_id)
    if row is None or person is None:
        raise NotFound("They have no share of this routine.")
    if row.standing == "owner":
        _require_another_owner(session, routine_id, person_id)
    session.delete(row)
    session.flush()
    return _sharer(row, person)


def hand_on(
    session: Session, routine_id: str, from_id: str | None, to_id: str, now_ms: int
) -> None:
    """Make another the owner; who was it becomes a co-presenter, who can be taken away.

    `from_id` is None where it is a team that gives it away.
    """
    give_share(session, routine_id, to_id, "owner", now_ms)
    if from_id is not None and from_id != to_id:
        row = session.get(ShareRow, (routine_id, from_id))
        if row is not None and row.standing == "owner":
            give_share(session, routine_id, from_id, "copresenter", now_ms)


def has_owner(session: Session, routine_id: str, but: str = "") -> bool:
    """Whether anybody with an account that stands owns a routine, or a team that somebody leads.

    `but` is a person who is left out.
    """
    owners = session.exec(
        select(ShareRow.person_id)
        .join(PersonRow, col(PersonRow.id) == col(ShareRow.person_id))
        .where(ShareRow.routine_id == routine_id, ShareRow.standing == "owner")
        .where(ShareRow.person_id != but, col(PersonRow.ended_ms).is_(None))
    ).first()
    leaders = session.exec(
        select(TeamMemberRow.person_id)
        .join(TeamRoutineRow, col(TeamRoutineRow.team_id) == col(TeamMemberRow.team_id))
        .join(PersonRow, col(PersonRow.id) == col(TeamMemberRow.person_id))
        .where(TeamRoutineRow.routine_id == routine_id, col(TeamMemberRow.leads))
        .where(col(PersonRow.ended_ms).is_(None))
    ).first()
    return owners is not None or leaders is not None


def _require_another_owner(session: Session, routine_id: str, but: str) -> None:
    if not has_owner(session, routine_id, but):
        raise Conflict(LAST_OWNER)


def _grants(
    session: Session, person_id: str, only: Iterable[str] | None
) -> dict[str, frozenset[RoutineAsk]]:
    own = select(ShareRow).where(ShareRow.person_id == person_id)
    through = (
        select(TeamRoutineRow, TeamMemberRow.leads)
        .join(TeamMemberRow, col(TeamMemberRow.team_id) == col(TeamRoutineRow.team_id))
        .where(TeamMemberRow.person_id == person_id)
    )
    if only is not None:
        ids = list(only)
        own = own.where(col(ShareRow.routine_id).in_(ids))
        through = through.where(col(TeamRoutineRow.routine_id).in_(ids))
    standings: dict[str, set[Standing]] = {}
    hearing = set()
    for row in session.exec(own):
        standings.setdefault(row.routine_id, set()).add(cast(Standing, row.standing))
        if row.hears:
            hearing.add(row.routine_id)
    for team, leads in session.exec(through):
        standing = "owner" if leads else team.standing
        standings.setdefault(team.routine_id, set()).add(cast(Standing, standing))
    return {key: granted(held, hears=key in hearing) for key, held in standings.items()}


def _sharer(row: ShareRow, person: PersonRow) -> Sharer:
    standing, has_ended = cast(Standing, row.standing), person.ended_ms is not None
    return Sharer(row.person_id, person.name, standing, row.hears, row.since_ms, has_ended)
