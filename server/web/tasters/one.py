"""One tasting as its host sees it: the code, who tastes, what came of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import NotFound
from server.domain.routine.drink import Drink
from server.domain.tasters.findings import Finding, Findings, beside
from server.domain.tasters.sitting import KINDS, Sitting, recipe_key
from server.domain.tasters.telling_apart import needed, power
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
from server.web.frame.filters import count, day, in_a_hundred, short_day
from server.web.frame.reach import address_for_others, qr_svg
from server.web.frame.render import page, see
from server.web.frame.shown import RoutinePage
from server.web.tasters.in_glass import InGlass, in_glass
from server.web.tasters.results import (
    Result,
    TasterLine,
    odd_tasters,
    result_of,
    taster_lines,
)
from server.web.tasters.saying import (
    STUBS,
    allowed_to_say,
    chance_words,
    finding_words,
    headline_of,
)

router = APIRouter(prefix="/routines/{routine_id}/tastings/{sitting_id}")

PLACE = "tastings"


@dataclass(frozen=True)
class WordLine:
    """A word and how often it was found; the bounds in hundredths, for its strip."""

    word: str
    found: str
    detail: str
    stub: str
    verdict: str
    low: int
    share: int
    high: int


@dataclass(frozen=True)
class BesideLine:
    """A word in this tasting and in another."""

    word: str
    here: str
    there: str
    verdict: str


@dataclass(frozen=True, kw_only=True)
class TastingPage(RoutinePage):
    """One tasting; `others` are those of the same drink it can be held against."""

    folder: ClassVar[str] = "tasting"

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
    others = _others(sittings_of(session, routine_id), held.sitting)
    other = next((each for each in others if each.id == against), None)
    lines = taster_lines(result)
    found = result.found
    shown = TastingPage(
        **routine_context(session, stored, PLACE),
        sitting=held.sitting,
        headline=headline_of(result),
        beneath=_beneath(result),
        notices=_notices(held.sitting, stored.routine.drinks, lines),
        code=held.code,
        address=_address(request),
        words=tuple(map(_word_line, found.stated)) if found else (),
        decoys=tuple(map(_word_line, found.decoys)) if found else (),
        decoys_told=_decoys_told(found) if found else "",
        decoy_share=_hundredths(found.decoy_ticks, found.decoys_shown) if found else 0,
        told=_told(result),
        tasters=lines,
        glass=in_glass(held.sitting),
        others=tuple((each.id, f"{each.name}, {short_day(each.made_ms)}") for each in others),
        against=other.id if other else "",
        beside=_beside(found, result_of(session, other).found) if found and other else (),
    )
    return page(request, "tasting", shown)


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


def _beneath(result: Result) -> str:
    sitting = result.sitting
    names = " and ".join(dict.fromkeys(drink.name for drink in sitting.drinks))
    return (
        f"{KINDS[sitting.kind]} of {names}, {day(sitting.made_ms)}: "
        f"{count(result.tasters, 'taster')}"
    )


def _notices(
    sitting: Sitting, drinks: Sequence[Drink], lines: Sequence[TasterLine]
) -> tuple[str, ...]:
    known = {drink.id: recipe_key(drink) for drink in drinks}
    found = [
        f"“{drink.name}” was {'changed' if drink.id in known else 'deleted'} since: what stands "
        "here is true of the version that was tasted."
        for drink in sitting.drinks
        if known.get(drink.id) != recipe_key(drink)
    ]
    decoys = sum(each.is_decoy for each in sitting.words)
    if decoys < sitting.decoys_wanted:
        found.append(
            f"Only {count(decoys, 'decoy')} of {sitting.decoys_wanted} wanted: no more fit."
        )
    if odd := odd_tasters(lines):
        found.append(
            f"{count(odd, 'taster')} ticked everything or nothing: such a card tells no words "
            "apart. Keep it apart below, if you think so too."
        )
    again = sum(each.taster.joins > 1 for each in lines)
    if again:
        found.append(f"{count(again, 'phone')} joined more than once: each counts as one taster.")
    return tuple(found)


def _word_line(each: Finding) -> WordLine:
    stub, verdict = STUBS[each.verdict]
    return WordLine(
        word=each.word,
        found=f"{each.found} of {each.tasters}",
        detail=finding_words(each) if each.tasters else "",
        stub=stub,
        verdict=verdict,
        low=round(100 * each.low),
        share=_hundredths(each.found, each.tasters),
        high=round(100 * each.high),
    )


def _hundredths(part: int, whole: int) -> int:
    return round(100 * part / whole) if whole else 0


def _decoys_told(found: Findings) -> str:
    if not found.decoys_shown:
        return f"{count(len(found.decoys), 'decoy')} stand among them."
    rate = in_a_hundred(found.decoy_ticks / found.decoys_shown)
    return f"Decoys are ticked {rate}: {found.decoy_ticks} of {found.decoys_shown} times."


def _told(result: Result) -> tuple[str, ...]:
    sitting, seen = result.sitting, result.outcome
    if seen is None or sitting.kind == "list":
        return ()
    aim = sitting.aim
    wanted = needed(sitting.kind, aim)
    shown = round(100 * power(sitting.kind, len(sitting.sets), aim))
    plan = (
        f"For a difference that {round(100 * aim.pd)} in 100 can tell, {wanted} tasters are "
        f"needed; with the {len(sitting.sets)} planned it shows in {shown} of 100 tastings."
    )
    return (*allowed_to_say(seen, aim.alpha), plan)


def _others(sittings: Sequence[Sitting], sitting: Sitting) -> list[Sitting]:
    """Blind lists that ask for a word of this one too, of this version or another."""
    mine = _stated(sitting)
    return [each for each in sittings if each.id != sitting.id and mine & _stated(each)]


def _stated(sitting: Sitting) -> set[str]:
    return {each.word.casefold() for each in sitting.words if not each.is_decoy}


def _beside(found: Findings, other: Findings | None) -> tuple[BesideLine, ...]:
    if other is None:
        return ()
    return tuple(
        BesideLine(
            each.word,
            f"{each.one.found} of {each.one.tasters}",
            f"{each.other.found} of {each.other.tasters}",
            f"differs, by chance {chance_words(each.p)}" if each.differs else "no difference shown",
        )
        for each in beside(found, other)
    )
