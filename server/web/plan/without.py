"""What a sentence costs in chances: the plan with it and without, for the script's page."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import NotFound
from server.domain.base.numbers import read_whole
from server.domain.whole.tryouts import drop_sentence
from server.web.frame.dependencies import ReadSession
from server.web.frame.render import part
from server.web.frame.telling import told
from server.web.plan.outlook import RISK, HeldOutlooks, Outlook

router = APIRouter(prefix="/routines/{routine_id}/plan")


@dataclass(frozen=True)
class Without:
    """The shares of slots that end in time: as it is, and with a sentence left out."""

    now: float
    then: float


@router.get("/without")
def without_sentence(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, routine_id: str, sentence: str
) -> Response:
    """A fragment. Raises NotFound where the sentence is gone."""
    outlook = outlooks.of_routine(session, routine_id)
    segment_id, _, text = sentence.rpartition(":")
    index = read_whole(text)
    if index is None:
        raise NotFound("This sentence is no longer in the script. Load the page again.")
    chance, untold = told(RISK, lambda: _chances(outlook, segment_id, index))
    shown = {"chance": chance, "untold": untold, "slot_s": outlook.rules.slot_s}
    return part(request, "plan/_without.html", shown)


def _chances(outlook: Outlook, segment_id: str, index: int) -> Without:
    pace = outlook.paces.of(segment_id)
    tryout = drop_sentence(outlook.routine, segment_id, index, pace)
    then = outlook.of(outlook.tried([tryout]))
    return Without(outlook.full.chance_inside, then.chance_inside)
