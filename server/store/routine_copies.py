"""A copy of a routine under a name and ids of its own."""

from collections.abc import Collection
from dataclasses import replace
from itertools import count

from sqlmodel import Session

from server.domain.routine.edits import with_new_ids
from server.domain.routine.routine import Routine
from server.store.ids import new_id
from server.store.routines import create_routine, list_routines, load_routine
from server.store.tables import RoutineRow


def copy_routine(
    session: Session, routine_id: str, now_ms: int, within: Collection[str] | None = None
) -> Routine:
    """A copy under a new name with ids of its own, the same goal and no runs. Raises NotFound.

    The name is a new one among the routines `within`, None for all.
    """
    original = load_routine(session, routine_id).routine
    fresh = with_new_ids(original, new_id)
    names = {routine.name for routine in list_routines(session, within=within)}
    copy = replace(fresh, name=name_of_copy(original.name, names))
    create_routine(session, copy, now_ms)
    # What one aims for goes with it; runs do not.
    goal = session.get_one(RoutineRow, routine_id).goal
    session.get_one(RoutineRow, copy.id).goal = goal
    return copy


def name_of_copy(name: str, taken: Collection[str]) -> str:
    """A name for a second routine like one: none of those that are taken."""
    numbered = (f"{name[:100]} (copy{f' {n}' if n > 1 else ''})" for n in count(1))
    return next(each for each in numbered if each not in taken)
