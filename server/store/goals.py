"""The goal of a routine: one, or none, with the one before it for undo."""

from dataclasses import dataclass

from sqlmodel import Session

from server.domain.drift.goals import Goal
from server.domain.whole.exchange import to_json
from server.store.readable import readable
from server.store.routines import routine_row, touch_routine


@dataclass(frozen=True)
class KeptGoal:
    """The goal that stands, and what stood before the last change; None for no goal."""

    now: Goal | None = None
    before: Goal | None = None


def load_goal(session: Session, routine_id: str) -> KeptGoal:
    """The goal of a routine. Raises NotFound."""
    text = routine_row(session, routine_id).goal
    kept = None if text is None else readable(KeptGoal, text, routine_id)
    return kept or KeptGoal()


def set_goal(session: Session, routine_id: str, goal: Goal | None) -> None:
    """Aim for this, or for nothing, from now on. Raises NotFound."""
    _put(session, routine_id, KeptGoal(goal, load_goal(session, routine_id).now))


def undo_goal(session: Session, routine_id: str) -> None:
    """Go back to the goal before the last change; doing it again goes forth. Raises NotFound."""
    kept = load_goal(session, routine_id)
    _put(session, routine_id, KeptGoal(kept.before, kept.now))


def _put(session: Session, routine_id: str, kept: KeptGoal) -> None:
    row = routine_row(session, routine_id)
    row.goal = None if kept == KeptGoal() else to_json(kept)
    session.add(row)
    touch_routine(session, routine_id)
