"""What was made without accounts gets an owner: the first person, when they are made."""

from sqlmodel import Session, col, select

from server.domain.people.person import Person
from server.store.sharing.sheets import hold_sheet
from server.store.sharing.table import ShareRow, SheetHolderRow, TeamRoutineRow
from server.store.tables import RoutineRow, RuleSheetRow

SHEET_OF_THE_APP = "rules-house"
"""The id of the rule sheet that every new database begins with (`server/demo`)."""


def own_everything(session: Session, person: Person, now_ms: int) -> None:
    """Make a person the owner of every routine and rule sheet that is nobody's.

    The rule sheet that came with the app stays everybody's to read and the admin's to change: or
    whoever comes next would have none to begin with.
    """
    shared = select(ShareRow.routine_id).union(select(TeamRoutineRow.routine_id))
    routines = select(RoutineRow.id).where(col(RoutineRow.id).not_in(shared))
    for routine_id in session.exec(routines).all():
        session.add(
            ShareRow(routine_id=routine_id, person_id=person.id, standing="owner", since_ms=now_ms)
        )
    held = select(SheetHolderRow.sheet_id)
    sheets = select(RuleSheetRow.id).where(col(RuleSheetRow.id).not_in(held))
    for sheet_id in session.exec(sheets.where(RuleSheetRow.id != SHEET_OF_THE_APP)).all():
        hold_sheet(session, sheet_id, person_id=person.id)
    session.flush()
