"""Teams: made, called something else, joined and left, dissolved; and what they own."""

from dataclasses import dataclass

from sqlmodel import Session, col, delete, func, select

from server.domain.base.errors import Conflict, NotFound, refuse_if
from server.domain.base.standings import Standing
from server.domain.base.text import name_faults
from server.store.database import row_there
from server.store.ids import new_id
from server.store.people.table import PersonRow
from server.store.sharing.shares import give_share
from server.store.sharing.table import SheetHolderRow, TeamMemberRow, TeamRoutineRow, TeamRow

LAST_LEADER = "Somebody must lead the team: make somebody else lead it first, or dissolve it."


@dataclass(frozen=True)
class Member:
    """One of a team."""

    person_id: str
    name: str
    leads: bool
    has_ended: bool
    """Whether their account is ended: their place comes back with it."""


@dataclass(frozen=True)
class Team:
    """A team with its members, and how many routines and rule sheets it owns."""

    id: str
    name: str
    members: tuple[Member, ...]
    routines: int = 0
    sheets: int = 0

    def has(self, person_id: str) -> bool:
        """Whether a person is in it."""
        return any(each.person_id == person_id for each in self.members)

    def is_led_by(self, person_id: str) -> bool:
        """Whether a person leads it."""
        return any(each.person_id == person_id and each.leads for each in self.members)


def make_team(session: Session, name: str, person_id: str, now_ms: int) -> str:
    """A new team that a person leads; returns its id. Raises InvalidInput for its name."""
    refuse_if(name_faults(name))
    row = TeamRow(id=new_id(), name=name.strip(), made_ms=now_ms)
    session.add(row)
    session.flush()
    put_member(session, row.id, person_id, leads=True)
    return row.id


def rename_team(session: Session, team_id: str, name: str) -> None:
    """Call a team something else. Raises NotFound and InvalidInput."""
    refuse_if(name_faults(name))
    row = _row(session, team_id)
    row.name = name.strip()
    session.add(row)


def teams_of(session: Session, person_id: str) -> list[Team]:
    """The teams that a person is in, by name."""
    rows = session.exec(
        select(TeamRow)
        .join(TeamMemberRow, col(TeamMemberRow.team_id) == col(TeamRow.id))
        .where(TeamMemberRow.person_id == person_id, col(TeamRow.dissolved_ms).is_(None))
        .order_by(func.lower(TeamRow.name), col(TeamRow.id))
    )
    return [_team(session, row) for row in rows]


def load_team(session: Session, team_id: str) -> Team:
    """A team. Raises NotFound, for a dissolved one too."""
    return _team(session, _row(session, team_id))


def put_member(session: Session, team_id: str, person_id: str, *, leads: bool) -> None:
    """Have a person be in a team, leading it or not. Raises NotFound, Conflict (last to lead)."""
    _row(session, team_id)
    row = session.get(TeamMemberRow, (team_id, person_id))
    if row is not None and row.leads and not leads:
        _require_another_leader(session, team_id, person_id)
    row = row or TeamMemberRow(team_id=team_id, person_id=person_id)
    row.leads = leads
    session.add(row)
    session.flush()


def take_member(session: Session, team_id: str, person_id: str) -> Member:
    """Take a person out of a team. Raises NotFound, Conflict for the last who leads it."""
    row = row_there(session, TeamMemberRow, (team_id, person_id), "They are not in this team.")
    if row.leads:
        _require_another_leader(session, team_id, person_id)
    person = session.exec(select(PersonRow).where(PersonRow.id == person_id)).one()
    session.delete(row)
    session.flush()
    return _member(row, person)


def dissolve_team(session: Session, team_id: str, heir_id: str, now_ms: int) -> None:
    """End a team: what it owned is the person's `heir_id` from now on. Raises NotFound."""
    row = _row(session, team_id)
    for routine_id in routines_of_team(session, team_id):
        give_share(session, routine_id, heir_id, "owner", now_ms)
        session.exec(delete(TeamRoutineRow).where(col(TeamRoutineRow.routine_id) == routine_id))
    for sheet in session.exec(select(SheetHolderRow).where(SheetHolderRow.team_id == team_id)):
        sheet.person_id, sheet.team_id = heir_id, None
        session.add(sheet)
    session.exec(delete(TeamMemberRow).where(col(TeamMemberRow.team_id) == team_id))
    row.dissolved_ms = now_ms
    session.add(row)
    session.flush()


def routines_of_team(session: Session, team_id: str) -> list[str]:
    """The ids of the routines that a team owns."""
    asked = select(TeamRoutineRow.routine_id).where(TeamRoutineRow.team_id == team_id)
    return list(session.exec(asked.order_by(col(TeamRoutineRow.routine_id))))


def team_of(session: Session, routine_id: str) -> tuple[Team, Standing] | None:
    """The team that owns a routine, and how its members stand to it; None where none does."""
    row = session.get(TeamRoutineRow, routine_id)
    return None if row is None else (load_team(session, row.team_id), row.standing)  # type: ignore[return-value]


def give_to_team(session: Session, routine_id: str, team_id: str, standing: Standing) -> None:
    """Have a team own a routine: who leads it owns it, its members stand so to it.

    Raises NotFound.
    """
    _row(session, team_id)
    row = session.get(TeamRoutineRow, routine_id)
    row = row or TeamRoutineRow(routine_id=routine_id, team_id=team_id, standing=standing)
    row.team_id, row.standing = team_id, standing
    session.add(row)
    session.flush()


def take_from_team(session: Session, routine_id: str, person_id: str, now_ms: int) -> None:
    """Have a routine be a person's again who leads the team that owns it."""
    give_share(session, routine_id, person_id, "owner", now_ms)
    session.exec(delete(TeamRoutineRow).where(col(TeamRoutineRow.routine_id) == routine_id))


def has_leader(session: Session, team_id: str, but: str = "") -> bool:
    """Whether anybody with an account that stands leads a team; `but` is one who is left out."""
    leaders = (
        select(TeamMemberRow.person_id)
        .join(PersonRow, col(PersonRow.id) == col(TeamMemberRow.person_id))
        .where(TeamMemberRow.team_id == team_id, col(TeamMemberRow.leads))
        .where(TeamMemberRow.person_id != but, col(PersonRow.ended_ms).is_(None))
    )
    return session.exec(leaders).first() is not None


def _require_another_leader(session: Session, team_id: str, but: str) -> None:
    if not has_leader(session, team_id, but):
        raise Conflict(LAST_LEADER)


def _member(row: TeamMemberRow, person: PersonRow) -> Member:
    return Member(person.id, person.name, row.leads, person.ended_ms is not None)


def _team(session: Session, row: TeamRow) -> Team:
    members = session.exec(
        select(TeamMemberRow, PersonRow)
        .join(PersonRow, col(PersonRow.id) == col(TeamMemberRow.person_id))
        .where(TeamMemberRow.team_id == row.id)
        .order_by(col(TeamMemberRow.leads).desc(), func.lower(PersonRow.name), col(PersonRow.id))
    ).all()
    held = select(func.count()).select_from(SheetHolderRow)
    return Team(
        row.id,
        row.name,
        tuple(_member(each, person) for each, person in members),
        len(routines_of_team(session, row.id)),
        session.exec(held.where(col(SheetHolderRow.team_id) == row.id)).one(),
    )


def _row(session: Session, team_id: str) -> TeamRow:
    row = session.get(TeamRow, team_id)
    if row is None or row.dissolved_ms is not None:
        raise NotFound("There is no such team.")
    return row
