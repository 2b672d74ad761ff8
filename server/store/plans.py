"""Plans as runs froze them: content under a key that is made of it."""

from dataclasses import dataclass, replace
from functools import lru_cache

from sqlmodel import Session, select

from server.domain.base.errors import Conflict
from server.domain.routine.plan import Plan, RoutinePart, layout
from server.domain.routine.plan_key import plan_key
from server.domain.routine.preparing import NOTHING_PREPARED
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.run import Outline, outline_of
from server.domain.whole.exchange import to_json
from server.store.database import row_there
from server.store.readable import readable
from server.store.tables import PlanRow, RevisionRow, RuleSheetRow

FRAMES_KEPT = 64
PLANS_READ = 32
"""Whole plans that were read last: some hundred KB each where there is much to say."""


@dataclass(frozen=True)
class PlanFrame:
    """What is needed of a plan to read the log of a run: its outline, how long it lasts, and which
    part of the routine it is."""

    outline: Outline
    planned_s: float
    part: RoutinePart | None = None


_frames: dict[str, PlanFrame] = {}


def freeze_plan(session: Session, plan: Plan) -> str:
    """Keep a plan and return its key; an equal plan is kept only once.

    What is packed, made and bought beforehand is no part of it: runs of one plan stay together.
    """
    plan = _as_frozen(plan)
    key = plan_key(plan)
    if session.get(PlanRow, key) is None:
        session.add(PlanRow(key=key, document=to_json(plan)))
        session.flush()
    return key


def frozen_key(plan: Plan) -> str:
    """The key under which a plan is kept, or would be."""
    return plan_key(_as_frozen(plan))


def _as_frozen(plan: Plan) -> Plan:
    return replace(plan, routine=replace(plan.routine, preparation=NOTHING_PREPARED))


def load_plan(session: Session, key: str) -> Plan:
    """The plan under a key. Raises NotFound, and Conflict where it was damaged on the disk."""
    row = row_there(session, PlanRow, key, "The plan of this run is missing.")
    plan = _plan_in(row.document, key) or _from_history(session, key)
    if plan is None:
        raise Conflict(
            "The plan that this run was run against cannot be read: it was damaged on the disk. "
            "A backup has it: ./run restore, on the computer that keeps the app."
        )
    return plan


@lru_cache(maxsize=PLANS_READ)
def _plan_in(document: str, key: str) -> Plan | None:
    # Run after run is looked at that was run against the same plan.
    return readable(Plan, document, key)


def _from_history(session: Session, key: str) -> Plan | None:
    """The plan of that key as some state of a routine still holds it: its key is its content."""
    sheets = [readable(RuleSheet, each) for each in session.exec(select(RuleSheetRow.document))]
    for document in session.exec(select(RevisionRow.document)):
        routine = readable(Routine, document)
        plans = (Plan(routine, rules) for rules in sheets if routine and rules)
        found = next((plan for plan in plans if plan_key(plan) == key), None)
        if found is not None:
            return found
    return None


def load_frame(session: Session, key: str) -> PlanFrame:
    """The frame of the plan under a key. Raises NotFound."""
    # A key stands for one content for ever, so what it once led to needs no reading again.
    if key not in _frames:
        if len(_frames) >= FRAMES_KEPT:
            _frames.clear()
        _frames[key] = frame_of(load_plan(session, key))
    return _frames[key]


def frame_of(plan: Plan) -> PlanFrame:
    """The frame of a plan."""
    return PlanFrame(outline_of(plan.routine), layout(plan.routine).total_s, plan.part)
