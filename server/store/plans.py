"""Plans as runs froze them: content under a key that is made of it."""

from dataclasses import dataclass, replace

from sqlmodel import Session

from server.domain.base.errors import NotFound
from server.domain.routine.plan import Part, Plan, layout
from server.domain.routine.plan_key import plan_key
from server.domain.routine.preparing import NOTHING_PREPARED
from server.domain.runs.run import Outline, outline_of
from server.domain.whole.exchange import from_json, to_json
from server.store.tables import PlanRow

FRAMES_KEPT = 64


@dataclass(frozen=True)
class Frame:
    """What is needed of a plan to read the log of a run: its outline, how long it lasts, and which
    part of the routine it is."""

    outline: Outline
    planned_s: float
    part: Part | None = None


_frames: dict[str, Frame] = {}


def freeze_plan(session: Session, plan: Plan) -> str:
    """Keep a plan and return its key; an equal plan is kept only once.

    What is packed, made and bought beforehand is no part of it: runs of one plan stay together.
    """
    plan = replace(plan, routine=replace(plan.routine, preparation=NOTHING_PREPARED))
    key = plan_key(plan)
    if session.get(PlanRow, key) is None:
        session.add(PlanRow(key=key, document=to_json(plan)))
        session.flush()
    return key


def load_plan(session: Session, key: str) -> Plan:
    """The plan under a key. Raises NotFound."""
    row = session.get(PlanRow, key)
    if row is None:
        raise NotFound("The plan of this run is missing.")
    return from_json(Plan, row.document)


def load_frame(session: Session, key: str) -> Frame:
    """The frame of the plan under a key. Raises NotFound."""
    # A key stands for one content for ever, so what it once led to needs no reading again.
    if key not in _frames:
        if len(_frames) >= FRAMES_KEPT:
            _frames.clear()
        plan = load_plan(session, key)
        planned_s = layout(plan.routine).total_s
        _frames[key] = Frame(outline_of(plan.routine), planned_s, plan.part)
    return _frames[key]
