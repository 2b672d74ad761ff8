"""What becomes of what a person alone owned when their account is ended, and who has it since."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, cast

from sqlmodel import Session, col, select

from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.store.people.table import PersonRow
from server.store.routines import list_routines
from server.store.rule_sheets import list_rule_sheets
from server.store.sharing.shares import give_share, has_owner
from server.store.sharing.sheets import hold_sheet, sheets_of_person
from server.store.sharing.table import InheritedRow, ShareRow, TeamMemberRow
from server.store.sharing.teams import Team, has_leader, put_member, teams_of

InheritedKind = Literal["routine", "team", "sheet"]


@dataclass(frozen=True)
class Inherited:
    """What came to somebody when the account of the person called `from_name` was ended."""

    kind: InheritedKind
    id: str
    name: str
    from_name: str
    since_ms: int


def inherit(session: Session, heir_id: str, now_ms: int, ended_id: str) -> None:
    """Have a person lead the teams that nobody else leads now, and own what nobody else owns.

    Whose account is ended keeps how they stood to routines and teams: given back, they have that
    again, beside the heir. A rule sheet is one person's: it goes, and comes back with the account.
    """
    went: list[tuple[InheritedKind, str]] = []
    for team_id in _led_by(session, ended_id):
        if not has_leader(session, team_id):
            put_member(session, team_id, heir_id, leads=True)
            went.append(("team", team_id))
    for routine_id in _owned_by(session, ended_id):
        if not has_owner(session, routine_id):
            give_share(session, routine_id, heir_id, "owner", now_ms)
            went.append(("routine", routine_id))
    for sheet_id in sheets_of_person(session, ended_id):
        hold_sheet(session, sheet_id, person_id=heir_id)
        went.append(("sheet", sheet_id))
    for kind, key in went:
        session.merge(
            InheritedRow(
                kind=kind, thing_id=key, from_id=ended_id, heir_id=heir_id, since_ms=now_ms
            )
        )
    session.flush()


def bring_back_sheets(session: Session, person_id: str) -> None:
    """Have a person whose account is given back hold their rule sheets again, where they are."""
    rows = select(InheritedRow).where(InheritedRow.from_id == person_id)
    for row in session.exec(rows.where(InheritedRow.kind == "sheet")).all():
        if row.thing_id in sheets_of_person(session, row.heir_id):
            hold_sheet(session, row.thing_id, person_id=person_id)
        session.delete(row)
    session.flush()


def inherited_by(session: Session, person_id: str) -> list[Inherited]:
    """What came to a person from accounts that were ended and is theirs still, the latest first."""
    names = _names_of_own(session, person_id)
    rows = session.exec(
        select(InheritedRow, PersonRow.name)
        .join(PersonRow, col(PersonRow.id) == col(InheritedRow.from_id))
        .where(InheritedRow.heir_id == person_id)
        .order_by(col(InheritedRow.since_ms).desc(), InheritedRow.kind, InheritedRow.thing_id)
    )
    return [
        Inherited(
            cast(InheritedKind, row.kind),
            row.thing_id,
            names[row.kind, row.thing_id],
            from_name,
            row.since_ms,
        )
        for row, from_name in rows
        if (row.kind, row.thing_id) in names
    ]


def heirs(session: Session) -> dict[str, str]:
    """Id of a person whose account was ended -> names of those to whom what they alone owned went.

    To one who may not see it that it went, and to whom, is all that is told.
    """
    rows = session.exec(
        select(InheritedRow.from_id, PersonRow.name)
        .join(PersonRow, col(PersonRow.id) == col(InheritedRow.heir_id))
        .distinct()
        .order_by(InheritedRow.from_id, PersonRow.name)
    )
    found: dict[str, list[str]] = {}
    for from_id, name in rows:
        found.setdefault(from_id, []).append(name)
    return {from_id: ", ".join(names) for from_id, names in found.items()}


def _names_of_own(session: Session, person_id: str) -> Mapping[tuple[str, str], str]:
    own = sheets_of_person(session, person_id)
    named: dict[str, Iterable[Routine | Team | RuleSheet]] = {
        "routine": list_routines(session, within=_owned_by(session, person_id)),
        "team": teams_of(session, person_id),
        "sheet": (each for each in list_rule_sheets(session) if each.id in own),
    }
    return {(kind, each.id): each.name for kind, those in named.items() for each in those}


def _led_by(session: Session, person_id: str) -> list[str]:
    led = select(TeamMemberRow.team_id).where(TeamMemberRow.person_id == person_id)
    return list(session.exec(led.where(col(TeamMemberRow.leads))))


def _owned_by(session: Session, person_id: str) -> list[str]:
    owned = select(ShareRow.routine_id).where(ShareRow.person_id == person_id)
    return list(session.exec(owned.where(ShareRow.standing == "owner")))
