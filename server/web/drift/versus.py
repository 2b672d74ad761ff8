"""Any two runs or groups of runs of a routine held against each other."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from server.store.routines import load_routine
from server.web.frame.dependencies import ReadSession
from server.web.frame.render import page

router = APIRouter(prefix="/routines/{routine_id}/drift/compare")

Words = Annotated[list[str], Query(default_factory=list)]

MOST_WORDS = 200


@router.get("")
def compare_page(
    request: Request,
    session: ReadSession,
    routine_id: str,
    first: Words,
    second: Words,
    first_since: str = "",
    first_until: str = "",
    second_since: str = "",
    second_until: str = "",
) -> Response:
    # With NumPy, so only now: the app starts without it.
    from server.web.drift.drift_reading import read_drift
    from server.web.drift.versus_page import versus_page_of

    typed = {
        "first_since": first_since, "first_until": first_until,
        "second_since": second_since, "second_until": second_until,
    }  # fmt: skip
    stored = load_routine(session, routine_id)
    reading = read_drift(session, stored)
    one, other = _asked(first, second, reading.drift.table.run_ids)
    shown = versus_page_of(session, reading, one, other, typed)
    return page(request, shown, 422 if shown.form.faults else 200)


def _asked(
    first: list[str], second: list[str], run_ids: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What was asked for; at first the last run against all others."""
    if not first and not second and run_ids:
        return (f"run:{run_ids[-1]}",), ("rest",)
    return tuple(first[:MOST_WORDS]), tuple(second[:MOST_WORDS])
