"""One tasting as its host sees it: the code, who tastes, what came of it."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import NotFound
from server.domain.tasters.sitting import Sitting
from server.store.routines import load_routine
from server.store.tastings.sittings import (
    StoredSitting,
    close_sitting,
    open_sitting,
    require_sitting,
    set_sitting_deleted,
    sittings_of,
)
from server.store.tastings.tasters import keep_apart
from server.web.frame.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import routine_context
from server.web.frame.filters import short_day
from server.web.frame.reach import address_for_others, qr_svg
from server.web.frame.render import page, see
from server.web.frame.shown import RoutinePage
from server.web.tasters.conclusion import headline_of
from server.web.tasters.evening import earlier_of
from server.web.tasters.in_glass import InGlass, in_glass
from server.web.tasters.one_view import (
    BesideLine,
    WordLine,
    beneath_of,
    beside_lines,
    decoys_told,
    hundredths,
    notices_of,
    others_of,
    told_of,
    word_line,
)
from server.web.tasters.results import TasterLine, result_of, taster_lines

router = APIRouter(prefix="/routines/{routine_id}/tastings/{sitting_id}")

PLACE = "tastings"


@dataclass(frozen=True, kw_only=True)
class TastingPage(RoutinePage, folder="tasting"):
    """One tasting; `others` are those of the same drink it can be held against."""

    sitting: Sitting
    headline: str
    beneath: str
    notices: tuple[str, ...]
    code: str
    address: str | None
    words: tuple[WordLine, ...]
    decoys: tuple[WordLine, ...]
    decoys_told: str
    decoy_share: int
    told: tuple[str, ...]
    tasters: tuple[TasterLine, ...]
    earlier: Mapping[str, str]
    """Key of a taster -> what they have had in all with tastings before on that evening."""
    handed_in: int
    glass: InGlass
    others: tuple[tuple[str, str], ...]
    against: str
    beside: tuple[BesideLine, ...]


@router.get("")
def tasting_page(
    request: Request,
    session: ReadSession,
    now_ms: NowMs,
    routine_id: str,
    sitting_id: str,
    against: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    held = sitting_in(session, routine_id, sitting_id, now_ms)
    result = result_of(session, held.sitting)
    others = others_of(sittings_of(session, routine_id), held.sitting)
    other = next((each for each in others if each.id == against), None)
    lines = taster_lines(result)
    found = result.found
    shown = TastingPage(
        **routine_context(session, stored, PLACE),
        sitting=held.sitting,
        headline=headline_of(result),
        beneath=beneath_of(result),
        notices=notices_of(held.sitting, stored.routine.drinks, lines),
        code=held.code,
        address=_address(request),
        words=tuple(word_line(each, result) for each in found.stated) if found else (),
        decoys=tuple(word_line(each, result) for each in found.decoys) if found else (),
        decoys_told=decoys_told(found) if found else "",
        decoy_share=hundredths(found.decoy_ticks, found.decoys_shown) if found else 0,
        told=told_of(result),
        tasters=lines,
        earlier=earlier_of(
            session,
            held.sitting,
            [each.taster.key for each in lines],
            max((each.taster.joined_ms for each in lines), default=now_ms),
        ),
        handed_in=result.tasters,
        glass=in_glass(held.sitting),
        others=tuple((each.id, f"{each.name}, {short_day(each.made_ms)}") for each in others),
        against=other.id if other else "",
        beside=beside_lines(result, result_of(session, other)) if other else (),
    )
    return page(request, shown)


@router.get("/code.svg")
def code_image(
    request: Request, session: ReadSession, now_ms: NowMs, routine_id: str, sitting_id: str
) -> Response:
    held, address = sitting_in(session, routine_id, sitting_id, now_ms), _address(request)
    if not held.code or address is None:
        raise NotFound("This tasting has no code to scan just now.")
    image = qr_svg(f"{address}#{held.code}", "Taste")
    return Response(image, media_type="image/svg+xml", headers={"Cache-Control": "no-store"})


@router.post("/open")
def post_open(session: WriteSession, now_ms: NowMs, routine_id: str, sitting_id: str) -> Response:
    sitting_in(session, routine_id, sitting_id, now_ms)
    open_sitting(session, sitting_id, now_ms)
    return see(_here(routine_id, sitting_id))


@router.post("/close")
def post_close(session: WriteSession, now_ms: NowMs, routine_id: str, sitting_id: str) -> Response:
    sitting_in(session, routine_id, sitting_id, now_ms)
    close_sitting(session, sitting_id)
    return see(_here(routine_id, sitting_id))


@router.post("/tasters/{key}")
def post_apart(
    session: WriteSession,
    now_ms: NowMs,
    typed: TypedForm,
    routine_id: str,
    sitting_id: str,
    key: str,
) -> Response:
    sitting_in(session, routine_id, sitting_id, now_ms)
    keep_apart(session, sitting_id, key, apart=typed.ticked("apart"))
    return see(_here(routine_id, sitting_id))


@router.post("/delete")
def post_delete(session: WriteSession, now_ms: NowMs, routine_id: str, sitting_id: str) -> Response:
    sitting_in(session, routine_id, sitting_id, now_ms)
    set_sitting_deleted(session, sitting_id, now_ms)
    return see(f"/routines/{routine_id}/tastings?deleted={sitting_id}")


@router.post("/restore")
def post_restore(session: WriteSession, routine_id: str, sitting_id: str) -> Response:
    if set_sitting_deleted(session, sitting_id, None).routine_id != routine_id:
        raise NotFound("There is no such tasting.")
    return see(_here(routine_id, sitting_id))


def sitting_in(
    session: ReadSession, routine_id: str, sitting_id: str, now_ms: int
) -> StoredSitting:
    """The sitting of a routine. Raises NotFound, also for one of another routine, and Gone."""
    held = require_sitting(session, sitting_id, now_ms)
    if held.sitting.routine_id != routine_id:
        raise NotFound("There is no such tasting.")
    return held


def _here(routine_id: str, sitting_id: str) -> str:
    return f"/routines/{routine_id}/tastings/{sitting_id}"


def _address(request: Request) -> str | None:
    base = address_for_others(request)
    return f"{base}/taste" if base else None
