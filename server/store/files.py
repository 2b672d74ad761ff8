"""A routine with its runs, out of the database into one document and back in."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import replace

from sqlmodel import Session, col, select

from server.domain.heard.record import TakeRecord
from server.domain.routine.edits import with_new_ids
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.whole.routine_file import FORMAT, VERSION, RoutineFile
from server.store.across_runs import plan_keys
from server.store.between.alone import alone_at
from server.store.database import Database
from server.store.goals import load_goal, set_goal
from server.store.heard.carrying import add_takes, has_take, take_records
from server.store.ids import new_id
from server.store.incoming import Lot, lots
from server.store.learning import add_marks, aim_of, marks_of, set_aim
from server.store.packing import add_ticks, all_ticks
from server.store.plans import frame_of, freeze_plan, load_plan
from server.store.routine_copies import name_of_copy
from server.store.routines import create_routine, list_routines, load_routine, reserve_routine
from server.store.rule_sheets import load_rule_sheet, save_rule_sheet
from server.store.tables import RoutineRow, RuleSheetRow, RunRow
from server.store.tastings.carrying import add_sittings, has_sitting, sitting_records
from server.store.unfinished import AN_IMPORT, clear_some

_IDS_AT_ONCE = 500


def export_head(session: Session, routine_id: str, *, with_takes: bool = False) -> RoutineFile:
    """The document of a routine, its rule sheet and the plans of its runs; the runs themselves are
    read one after the other by `run_records`. What was said in its takes comes along where that
    is asked for. Raises NotFound.
    """
    routine = load_routine(session, routine_id).routine
    of_runs = plan_keys(session, routine_id)
    takes = take_records(session, routine_id, of_runs.keys()) if with_takes else ()
    keys = sorted({*of_runs.values(), *(take.plan_key for take in takes)})
    return RoutineFile(
        format=FORMAT,
        version=VERSION,
        routine=routine,
        rules=load_rule_sheet(session, routine.rule_sheet_id),
        plans={key: load_plan(session, key) for key in keys},
        goal=load_goal(session, routine_id).now,
        learning_aim=aim_of(session, routine_id),
        learnt=marks_of(session, routine_id),
        ticked=all_ticks(session, routine_id),
        tastings=sitting_records(session, routine_id),
        takes=takes,
    )


def import_file(session: Session, file: RoutineFile, now_ms: int) -> Routine:
    """Keep a routine with its runs and return it, all in one transaction.

    Ids are kept, so that a file that comes back to an empty database is the same again. Where the
    routine or one of its runs is here already, the import becomes a second one with new ids, and
    is called a copy where it would stand beside another of its name. A rule sheet that is here with
    other content is left alone and the file's becomes a new one.
    """
    file = _with_free_ids(session, file)
    reserve_routine(session, file.routine.id)
    keys = {key: freeze_plan(session, plan) for key, plan in file.plans.items()}
    for lot in _lots(file, keys, now_ms):
        lot.put(session)
    return _finish(session, file, keys, now_ms)


def import_in_turns(
    database: Database,
    file: RoutineFile,
    now_ms: int,
    own: Callable[[Session, Routine], None] = lambda _session, _routine: None,
    sheets: Collection[str] | None = None,
    within: Collection[str] | None = None,
) -> Routine:
    """The same, in short transactions with room for others between them.

    Nothing shows any of it before the last one, in which `own` says whose it is; of an import that
    fails, nothing stays. One that a power cut ends is taken out at the next start. `sheets` are the
    ids of the rule sheets that may be read, None for all: another's is not taken for the file's.
    `within` are those of the routines that its name stands beside, None for all.
    """
    # Two imports of one file at once would each find its ids free.
    with alone_at(database, AN_IMPORT, wait=True):
        with database.reading() as session:
            file = _with_free_ids(session, file, within)
        routine_id = file.routine.id
        with database.writing() as session:
            reserve_routine(session, routine_id)
        try:
            keys = _bring_in(database, file, now_ms)
            with database.writing() as session:
                routine = _finish(session, file, keys, now_ms, sheets)
                own(session, routine)
            return routine
        except BaseException:
            _take_out(database, routine_id)
            raise


def _bring_in(database: Database, file: RoutineFile, now_ms: int) -> dict[str, str]:
    """Keep plans and runs; returns the keys of the plans as they are here."""
    keys = {}
    for key, plan in file.plans.items():
        with database.writing() as session:
            keys[key] = freeze_plan(session, plan)
    for lot in _lots(file, keys, now_ms):
        with database.writing() as session:
            lot.put(session)
    return keys


def _take_out(database: Database, routine_id: str) -> None:
    more = True
    while more:
        with database.writing() as session:
            more = clear_some(session, routine_id)


def _lots(file: RoutineFile, keys: dict[str, str], now_ms: int) -> Iterator[Lot]:
    frames = {keys[key]: frame_of(plan) for key, plan in file.plans.items()}
    runs = (replace(run, plan_key=keys[run.plan_key]) for run in file.runs)
    return lots(runs, file.routine.id, frames, now_ms)


def _finish(
    session: Session,
    file: RoutineFile,
    keys: dict[str, str],
    now_ms: int,
    sheets: Collection[str] | None = None,
) -> Routine:
    file = _with_rule_sheet(session, file, sheets)
    create_routine(session, file.routine, now_ms)
    if file.goal is not None:
        set_goal(session, file.routine.id, file.goal)
    if file.learning_aim is not None:
        set_aim(session, file.routine.id, file.learning_aim)
    add_marks(session, file.routine.id, file.learnt)
    add_ticks(session, file.routine.id, file.ticked)
    add_sittings(session, file.routine.id, file.tastings)
    add_takes(session, file.routine.id, _with_known_runs(file), keys)
    return file.routine


def _with_known_runs(file: RoutineFile) -> list[TakeRecord]:
    """The takes of a file; a run that is not in it is not named."""
    known = {run.id for run in file.runs}
    return [
        replace(
            take,
            run_id=take.run_id if take.run_id in known else None,
            beside_run_id=take.beside_run_id if take.beside_run_id in known else None,
        )
        for take in file.takes
    ]


def _with_free_ids(
    session: Session, file: RoutineFile, within: Collection[str] | None = None
) -> RoutineFile:
    if not _is_here(session, file):
        return file
    sheets = (file.rules, *(plan.rules for plan in file.plans.values()))
    kept = {sheet.id for sheet in sheets}
    kept |= {each.id for sheet in sheets for each in sheet.criteria}
    # Marks of learning belong to their routine, and of one moment stand in the order of their ids.
    kept |= {mark.id for mark in file.learnt}
    fresh = with_new_ids(file, new_id, keep=kept)
    name = file.routine.name
    taken = {each.name for each in list_routines(session, within=within)}
    return _called(fresh, name_of_copy(name, taken)) if name in taken else fresh


def _called(file: RoutineFile, name: str) -> RoutineFile:
    # In the plans of its runs too, or it would look as if the plan had changed since.
    now = file.routine.name
    plans = {
        key: replace(plan, routine=replace(plan.routine, name=name))
        if plan.routine.name == now
        else plan
        for key, plan in file.plans.items()
    }
    return replace(file, routine=replace(file.routine, name=name), plans=plans)


def _is_here(session: Session, file: RoutineFile) -> bool:
    if session.get(RoutineRow, file.routine.id) is not None:
        return True
    if has_sitting(session, file.tastings) or has_take(session, file.takes):
        return True
    ids = [run.id for run in file.runs]
    some = (ids[first : first + _IDS_AT_ONCE] for first in range(0, len(ids), _IDS_AT_ONCE))
    known = (select(RunRow.id).where(col(RunRow.id).in_(each)).limit(1) for each in some)
    return any(session.exec(query).first() is not None for query in known)


def _with_rule_sheet(
    session: Session, file: RoutineFile, sheets: Collection[str] | None
) -> RoutineFile:
    """`file` with a rule sheet that is kept here, and the routine under it."""
    rules = file.rules
    stored = _stored(session, rules.id)
    is_anothers = stored is not None and sheets is not None and rules.id not in sheets
    if stored not in (None, rules) or is_anothers:
        rules = replace(rules, id=new_id())
    save_rule_sheet(session, rules)
    return replace(file, rules=rules, routine=replace(file.routine, rule_sheet_id=rules.id))


def _stored(session: Session, sheet_id: str) -> RuleSheet | None:
    known = session.get(RuleSheetRow, sheet_id) is not None
    return load_rule_sheet(session, sheet_id) if known else None
