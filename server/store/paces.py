"""What a routine's runs tell about its presenter's pace: texts as they were then, with splits."""

from sqlmodel import Session

from server.domain.belief.words_pace import SpokenSplit
from server.domain.routine.routine import Routine
from server.domain.whole.talk import spoken_splits
from server.store.past_plans import past_plans
from server.store.runs import list_runs


def spoken_in_runs(session: Session, routine: Routine) -> list[SpokenSplit]:
    """A value for each marked segment with a text, of each finished run that is not excluded."""
    then = {run_id: plan.segments for run_id, plan in past_plans(session, routine.id).items()}
    return spoken_splits(routine, list_runs(session, routine.id), then)
