"""Whether what comes before the stage is in order, in one line for the first page of a routine."""

from sqlmodel import Session

from server.domain.prepare.kit import kit_of, packing_of
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.whole.readiness import Ready
from server.store.packing import done_tasks, ticks_of


def prepare_ready(session: Session, routine: Routine, rules: RuleSheet) -> tuple[Ready, str] | None:
    """The line and where it leads; None where nothing was ever prepared."""
    tasks, journey = routine.preparation.tasks, routine.preparation.journey
    ticked = ticks_of(session, routine.id, "event")
    url = f"/routines/{routine.id}"
    if tasks and journey.stage_ms is None:
        return Ready("prepare", False, "Say when you are on stage"), f"{url}/prep?edit=journey"
    if not tasks and journey.stage_ms is None and not any(each.packed for each in ticked.values()):
        return None
    made = done_tasks(session, routine.id)
    left = sum(task.id not in made for task in tasks)
    packing = packing_of(kit_of(routine, rules), ticked)
    if left:
        count = f"{left} thing{'s' if left != 1 else ''}"
        return Ready("prepare", False, f"{count} to make ahead"), f"{url}/prep"
    missing = len(packing.missing)
    if missing:
        count = f"{missing} thing{'s' if missing != 1 else ''}"
        return Ready("prepare", False, f"{count} to pack for the event"), f"{url}/prepare"
    return Ready("prepare", True, "Made ahead and packed"), f"{url}/prepare"
