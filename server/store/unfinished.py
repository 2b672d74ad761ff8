"""What an import that did not reach its end has left, taken out again."""

from sqlalchemy import Delete
from sqlmodel import Session, col, delete, select

from server.store.between.alone import alone_at
from server.store.database import MOST_ROWS, Database
from server.store.routines import COMING_IN
from server.store.tables import EventRow, RoutineRow, RunRow

AN_IMPORT = "an import"


def clear_unfinished_imports(database: Database) -> None:
    """Take out what imports left that a crash ended; nothing while one is under way anywhere."""
    with alone_at(database, AN_IMPORT, wait=False) as is_alone:
        if is_alone:
            with database.writing() as session:
                clear_unfinished(session)


def clear_unfinished(session: Session) -> None:
    """Take out every routine that is only on its way in; call it while no import is under way."""
    for routine_id in session.exec(select(RoutineRow.id).where(RoutineRow.head == COMING_IN)).all():
        while clear_some(session, routine_id):
            pass


def clear_some(session: Session, routine_id: str, most: int = MOST_ROWS) -> bool:
    """Take some of a routine that is coming in out; whether there may be more. It goes last."""
    runs = select(RunRow.id).where(RunRow.routine_id == routine_id)
    events = select(EventRow.rev).where(col(EventRow.run_id).in_(runs)).limit(most)
    if _deleted(session, delete(EventRow).where(col(EventRow.rev).in_(events))):
        return True
    if _deleted(session, delete(RunRow).where(col(RunRow.id).in_(runs.limit(most)))):
        return True
    routine = delete(RoutineRow).where(col(RoutineRow.id) == routine_id)
    _deleted(session, routine.where(col(RoutineRow.head) == COMING_IN))
    return False


def _deleted(session: Session, statement: Delete) -> int:
    return session.connection().execute(statement).rowcount
