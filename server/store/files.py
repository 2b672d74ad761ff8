"""A routine with its runs, out of the database into one document and back in."""

from dataclasses import replace
from typing import Literal

from sqlmodel import Session

from server.domain.routine.edits import with_new_ids
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.whole.exchange import RoutineFile
from server.store.goals import load_goal, set_goal
from server.store.ids import new_id
from server.store.plans import freeze_plan
from server.store.routines import create_routine, load_routine
from server.store.rule_sheets import load_rule_sheet, save_rule_sheet
from server.store.runs import export_runs, import_run
from server.store.tables import RoutineRow, RuleSheetRow, RunRow

_FORMAT: Literal["ninefifty-routine"] = "ninefifty-routine"


def export_file(session: Session, routine_id: str) -> RoutineFile:
    """The document of a routine, its rule sheet, its runs and their plans. Raises NotFound."""
    routine = load_routine(session, routine_id).routine
    plans, runs = export_runs(session, routine_id)
    rules = load_rule_sheet(session, routine.rule_sheet_id)
    return RoutineFile(
        format=_FORMAT,
        version=1,
        routine=routine,
        rules=rules,
        plans=plans,
        runs=runs,
        goal=load_goal(session, routine_id).now,
    )


def import_file(session: Session, file: RoutineFile, now_ms: int) -> Routine:
    """Keep a routine with its runs and return it.

    Ids are kept, so that a file that comes back to an empty database is the same again. Where the
    routine or one of its runs is here already, the import becomes a second one with new ids. A
    rule sheet that is here with other content is left alone and the file's becomes a new one.
    """
    if _is_here(session, file):
        sheets = (file.rules, *(plan.rules for plan in file.plans.values()))
        kept = {sheet.id for sheet in sheets}
        kept |= {each.id for sheet in sheets for each in sheet.criteria}
        file = with_new_ids(file, new_id, keep=kept)
    file = _with_rule_sheet(session, file)
    create_routine(session, file.routine, now_ms)
    session.flush()
    keys = {key: freeze_plan(session, plan) for key, plan in file.plans.items()}
    for run in file.runs:
        import_run(session, file.routine.id, replace(run, plan_key=keys[run.plan_key]), now_ms)
    if file.goal is not None:
        set_goal(session, file.routine.id, file.goal)
    return file.routine


def _is_here(session: Session, file: RoutineFile) -> bool:
    if session.get(RoutineRow, file.routine.id) is not None:
        return True
    return any(session.get(RunRow, run.id) is not None for run in file.runs)


def _with_rule_sheet(session: Session, file: RoutineFile) -> RoutineFile:
    """`file` with a rule sheet that is kept here, and the routine under it."""
    rules = file.rules
    if _stored(session, rules.id) not in (None, rules):
        rules = replace(rules, id=new_id())
    save_rule_sheet(session, rules)
    return replace(file, rules=rules, routine=replace(file.routine, rule_sheet_id=rules.id))


def _stored(session: Session, sheet_id: str) -> RuleSheet | None:
    known = session.get(RuleSheetRow, sheet_id) is not None
    return load_rule_sheet(session, sheet_id) if known else None
