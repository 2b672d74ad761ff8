"""What a routine's runs tell about its presenter's pace: texts as they were then, with splits."""

from sqlmodel import Session, col, select

from server.domain.claims.pace import SpokenSplit, measure
from server.domain.exchange import from_json
from server.domain.routine import Lane
from server.domain.summary import RunSummary
from server.store.plans import load_plan
from server.store.tables import RunRow

Spoken = dict[str, tuple[int, int, Lane]]
PLANS_KEPT = 64
_spoken: dict[str, Spoken] = {}


def spoken_splits(session: Session, routine_id: str) -> tuple[SpokenSplit, ...]:
    """A value for each marked segment with a text, of each finished run that is not excluded."""
    statement = (
        select(RunRow.plan_key, RunRow.summary)
        .where(RunRow.routine_id == routine_id)
        .where(RunRow.status == "finished")
        .where(col(RunRow.excluded).is_(False))
        .where(col(RunRow.deleted_ms).is_(None))
    )
    found = []
    for plan_key, summary in session.exec(statement):
        said = _said(session, plan_key)
        for segment_id, split_ms in from_json(RunSummary, summary).splits_ms.items():
            if segment_id in said:
                words, sentences, lane = said[segment_id]
                split = SpokenSplit(segment_id, words, sentences, split_ms / 1000, lane)
                found.append(split)
    return tuple(found)


def _said(session: Session, plan_key: str) -> Spoken:
    # A key stands for one content for ever: its texts need be counted only once.
    if plan_key not in _spoken:
        if len(_spoken) >= PLANS_KEPT:
            _spoken.clear()
        _spoken[plan_key] = _measured(session, plan_key)
    return _spoken[plan_key]


def _measured(session: Session, plan_key: str) -> Spoken:
    routine = load_plan(session, plan_key).routine
    return {
        segment.id: (*measure(segment.said, routine.language), segment.lane)
        for segment in routine.segments
        if segment.said
    }
