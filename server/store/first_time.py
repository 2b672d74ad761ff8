"""What a new database holds: a rule sheet to change, and the demo routine where it is wanted."""

from sqlmodel import Session, select

from server.demo import demo_file
from server.store.files import import_file
from server.store.rule_sheets import save_rule_sheet
from server.store.tables import RoutineRow, RuleSheetRow


def furnish(session: Session, now_ms: int, demo: bool) -> None:
    """Put the first rule sheet, and with `demo` the demo routine, into an empty database.

    A database that ever held a routine is left alone: a deleted demo does not come back.
    """
    has_rules, has_routine = (
        session.exec(select(kind.id).limit(1)).first() is not None
        for kind in (RuleSheetRow, RoutineRow)
    )
    if has_rules and (has_routine or not demo):
        return
    file = demo_file()
    if not has_rules:
        save_rule_sheet(session, file.rules)
    if demo and not has_routine:
        import_file(session, file, now_ms)
