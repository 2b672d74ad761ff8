"""How sentences went, as a device kept it; what arrives twice does no harm."""

from fastapi import APIRouter

from server.store.learning import ArrivingMarks, keep_marks
from server.web.frame.dependencies import WriteSession

router = APIRouter(prefix="/api/routines/{routine_id}/learn")


@router.post("/marks")
def post_marks(session: WriteSession, routine_id: str, arriving: ArrivingMarks) -> dict[str, int]:
    keep_marks(session, routine_id, arriving)
    return {"kept": len(arriving.marks)}
