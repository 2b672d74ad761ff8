"""What a new database holds: a rule sheet to change, and the demo routine where it is wanted."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from sqlmodel import Session, select

from server.store.tables import RoutineRow, RuleSheetRow

if TYPE_CHECKING:
    from server.domain.whole.routine_file import RoutineFile

DAYS_BEFORE = 4
"""So many days before the stage the demo begins."""


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
    # Loaded here, for all starts but the first do without it.
    from server.demo import demo_file
    from server.store.files import import_file
    from server.store.rule_sheets import save_rule_sheet

    file = demo_file()
    if not has_rules:
        save_rule_sheet(session, file.rules)
    if demo and not has_routine:
        import_file(session, _before_its_stage(file, now_ms), now_ms)


def _before_its_stage(file: "RoutineFile", now_ms: int) -> "RoutineFile":
    """The demo some days before its presenter is on stage: at 14:20, on the server's clock."""
    day = datetime.fromtimestamp(now_ms / 1000).astimezone() + timedelta(days=DAYS_BEFORE)
    stage = datetime(day.year, day.month, day.day, 14, 20).astimezone()
    given = file.routine.preparation
    journey = replace(given.journey, stage_ms=round(stage.timestamp() * 1000))
    prepared = replace(given, journey=journey)
    return replace(file, routine=replace(file.routine, preparation=prepared))
