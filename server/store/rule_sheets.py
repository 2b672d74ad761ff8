"""Rule sheets: list, load, save, delete and bring back."""

from collections.abc import Collection

from sqlmodel import Session, col, select

from server.domain.base.errors import Conflict
from server.domain.routine.rules import RuleSheet
from server.domain.whole.exchange import to_json
from server.store.database import row_there
from server.store.readable import readable
from server.store.routines import routines_under, touch_routine
from server.store.tables import RuleSheetRow


def list_rule_sheets(session: Session, within: Collection[str] | None = None) -> list[RuleSheet]:
    """The rule sheets that are not deleted, by name; `within` are the ids of those wanted."""
    statement = (
        select(RuleSheetRow)
        .where(col(RuleSheetRow.deleted_ms).is_(None))
        .order_by(RuleSheetRow.name, RuleSheetRow.id)
    )
    if within is not None:
        statement = statement.where(col(RuleSheetRow.id).in_(within))
    return [_sheet(row) for row in session.exec(statement)]


def load_rule_sheet(session: Session, sheet_id: str) -> RuleSheet:
    """The rule sheet with that id, deleted or not (old routines still show it).

    Raises NotFound.
    """
    return _sheet(_row(session, sheet_id))


def save_rule_sheet(session: Session, sheet: RuleSheet) -> None:
    """Keep a new rule sheet, or a changed one in the place of the old."""
    row = session.get(RuleSheetRow, sheet.id)
    if row is None:
        session.add(RuleSheetRow(id=sheet.id, name=sheet.name, document=to_json(sheet)))
    else:
        row.name, row.document = sheet.name, to_json(sheet)
        row.revision += 1
        row.deleted_ms = None
        session.add(row)
        for deleted in (False, True):
            for routine in routines_under(session, sheet.id, deleted):
                touch_routine(session, routine.id)


def delete_rule_sheet(
    session: Session, sheet_id: str, now_ms: int, within: Collection[str] | None = None
) -> RuleSheet:
    """Delete a rule sheet that no routine uses. Raises NotFound and Conflict.

    `within` are the ids of the routines that may be named, None for all.
    """
    row = _row(session, sheet_id)
    using = routines_under(session, sheet_id)
    users = [f"“{each.name}”" for each in using if within is None or each.id in within]
    users += ["routines of others"] if len(users) < len(using) else []
    if users:
        raise Conflict(
            f"“{row.name}” is used by {', '.join(users)}. Give them another rule sheet first."
        )
    row.deleted_ms = now_ms
    session.add(row)
    return _sheet(row)


def restore_rule_sheet(session: Session, sheet_id: str) -> RuleSheet:
    """Bring a deleted rule sheet back. Raises NotFound."""
    row = _row(session, sheet_id)
    row.deleted_ms = None
    session.add(row)
    return _sheet(row)


def _row(session: Session, sheet_id: str) -> RuleSheetRow:
    return row_there(session, RuleSheetRow, sheet_id, "There is no such rule sheet.")


def _sheet(row: RuleSheetRow) -> RuleSheet:
    return readable(RuleSheet, row.document, row.id) or _stand_in(row)


def _stand_in(row: RuleSheetRow) -> RuleSheet:
    """What stands for a rule sheet that cannot be read: nobody may take its values for theirs."""
    return RuleSheet(row.id, f"{row.name[:80]} (damaged: these are not its values)")
