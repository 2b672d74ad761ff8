"""Remarks called done, on whatever page lists those that are open: out of the list, and back."""

from sqlmodel import Session

from server.store.runs import require_run_of
from server.store.settled import settle_remark, unsettle_remark
from server.web.frame.forms import Typed


def call_done(session: Session, routine_id: str, typed: Typed) -> str:
    """Call the remark of a form done; returns what the page tells it by, for the way back."""
    run_id, remark_id = typed.text("run"), typed.text("remark")
    require_run_of(session, routine_id, run_id)
    settle_remark(session, run_id, remark_id)
    return f"{run_id}.{remark_id}"


def call_open(session: Session, routine_id: str, typed: Typed) -> None:
    """The way back."""
    require_run_of(session, routine_id, typed.text("run"))
    unsettle_remark(session, typed.text("run"), typed.text("remark"))


def just_done(told: str) -> tuple[str, str] | None:
    """The run and the id of the remark that was just called done; None where none was."""
    run_id, _, remark_id = told.partition(".")
    return (run_id, remark_id) if remark_id else None
