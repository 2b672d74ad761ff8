"""Whose rule sheets are: a person's, a team's, or nobody's, which came with the app."""

from collections.abc import Collection

from sqlmodel import Session, col, select

from server.domain.base.errors import NotFound
from server.store.routines import list_routines
from server.store.sharing.table import SheetHolderRow, TeamMemberRow
from server.store.tables import RuleSheetRow


def hold_sheet(
    session: Session, sheet_id: str, *, person_id: str | None = None, team_id: str | None = None
) -> None:
    """Have a rule sheet be a person's, or a team's."""
    row = session.get(SheetHolderRow, sheet_id) or SheetHolderRow(sheet_id=sheet_id)
    row.person_id, row.team_id = person_id, team_id
    session.add(row)
    session.flush()


def sheets_to_read(session: Session, person_id: str, routines: Collection[str]) -> frozenset[str]:
    """The rule sheets a person may read: their own and their teams', those of the `routines` that
    are shared with them, and those that came with the app."""
    own = sheets_to_change(session, person_id)
    used = (
        routine.rule_sheet_id
        for deleted in (False, True)
        for routine in list_routines(session, deleted, within=routines)
    )
    return frozenset((*sheets_of_the_app(session), *own, *used))


def sheets_of_the_app(session: Session) -> frozenset[str]:
    """The rule sheets that are nobody's: everybody's to read, the admin's to change."""
    held = select(SheetHolderRow.sheet_id)
    return frozenset(session.exec(select(RuleSheetRow.id).where(col(RuleSheetRow.id).not_in(held))))


def sheets_to_change(session: Session, person_id: str) -> frozenset[str]:
    """The rule sheets a person may change: their own, and those of teams they are in."""
    teams = select(TeamMemberRow.team_id).where(TeamMemberRow.person_id == person_id)
    held = col(SheetHolderRow.person_id) == person_id
    asked = select(SheetHolderRow.sheet_id).where(held | col(SheetHolderRow.team_id).in_(teams))
    return frozenset(session.exec(asked))


def sheets_of_person(session: Session, person_id: str) -> frozenset[str]:
    """The rule sheets that are a person's own, and no team's."""
    asked = select(SheetHolderRow.sheet_id).where(SheetHolderRow.person_id == person_id)
    return frozenset(session.exec(asked))


def sheets_of_team(session: Session, team_id: str) -> frozenset[str]:
    """The rule sheets that a team owns."""
    asked = select(SheetHolderRow.sheet_id).where(SheetHolderRow.team_id == team_id)
    return frozenset(session.exec(asked))


def holder_of(session: Session, sheet_id: str) -> tuple[str | None, str | None]:
    """The person, and the team, that a rule sheet is of; Raises NotFound for no such sheet."""
    if session.get(RuleSheetRow, sheet_id) is None:
        raise NotFound("There is no such rule sheet.")
    row = session.get(SheetHolderRow, sheet_id)
    return (None, None) if row is None else (row.person_id, row.team_id)
