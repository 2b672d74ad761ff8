"""What the plans of past runs said about each segment: its lane, its duration, its words."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.domain.routine.plan import Plan
from server.domain.routine.routine import Segment
from server.store.across_runs import plan_keys
from server.store.readable import readable
from server.store.tables import PlanRow

PLANS_KEPT = 256
_segments: dict[str, tuple[Segment, ...]] = {}


@dataclass(frozen=True)
class PastPlan:
    """The segments of the plan that a run was run against."""

    run_id: str
    plan_key: str
    segments: tuple[Segment, ...]


def past_plans(session: Session, routine_id: str) -> dict[str, PastPlan]:
    """Run id -> the segments of its plan, for the runs of a routine that are not deleted."""
    key_of = plan_keys(session, routine_id)
    keys = set(key_of.values())
    known = {key: _segments[key] for key in keys if key in _segments}
    known |= _loaded(session, keys - set(known))
    return {run_id: PastPlan(run_id, key, known[key]) for run_id, key in key_of.items()}


def _loaded(session: Session, keys: set[str]) -> dict[str, tuple[Segment, ...]]:
    # A key stands for one content for ever, so what it once led to needs no reading again.
    if len(_segments) + len(keys) > PLANS_KEPT:
        _segments.clear()
    rows = session.exec(select(PlanRow.key, PlanRow.document).where(col(PlanRow.key).in_(keys)))
    read = {key: readable(Plan, document, key) for key, document in rows}
    found = {key: plan.routine.segments if plan else () for key, plan in read.items()}
    _segments.update(found)
    return found
