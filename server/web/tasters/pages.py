"""All tastings of a routine, and the forms that set up a new one."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.base.number_words import count
from server.domain.routine.routine import Routine
from server.domain.tasters.sitting import KINDS, Sitting
from server.domain.tasters.telling_apart import DifferenceAim, PairKind, needed
from server.store.routines import StoredRoutine, load_routine
from server.store.tastings.sittings import keep_sitting, load_sitting, sittings_of
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm
from server.web.frame.editing import routine_context
from server.web.frame.filters import short_day
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page, see
from server.web.frame.shown import RoutinePage
from server.web.tasters.conclusion import headline_of
from server.web.tasters.forms import (
    MISSES,
    RISKS,
    SHARES,
    list_from,
    pairs_from,
    texts_at_first,
    versions_of,
)
from server.web.tasters.results import Result, result_of

router = APIRouter(prefix="/routines/{routine_id}/tastings")

PLACE = "tastings"
FORMS = ("list", "pairs")
MISSED_SELDOM = (0.2, 0.1)


@dataclass(frozen=True)
class SittingLine:
    """A tasting as one line: what came of it, of what, when, how many tasted."""

    id: str
    kind: str
    name: str
    headline: str
    detail: str


@dataclass(frozen=True)
class NeedRow:
    """How many tasters show a difference that a share of people can tell, for two risks."""

    share: str
    needed: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class TastingsPage(RoutinePage, folder="tastings"):
    """The tastings of a routine; `edit` names the form that is open."""

    headline: str
    lines: tuple[SittingLine, ...]
    gone: Sitting | None
    """The one just deleted, which can be brought back."""
    edit: str
    form: Form
    knows_flavours: bool
    versions: tuple[tuple[str, str], ...]
    shares: Mapping[str, str]
    risks: Mapping[str, str]
    misses: Mapping[str, str]
    needs: tuple[NeedRow, ...]


@router.get("")
def tastings_page(
    request: Request,
    session: ReadSession,
    now_ms: NowMs,
    routine_id: str,
    edit: str = "",
    deleted: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    edit = edit if edit in FORMS else ""
    form = Form(texts_at_first(edit, stored.routine)) if edit else Form()
    return page(request, _shown(session, stored, form, edit, deleted, now_ms))


@router.post("/list")
def post_list(
    request: Request, held: HeldDatabase, now_ms: NowMs, typed: TypedForm, routine_id: str
) -> Response:
    def make(routine: Routine, _sittings: Sequence[Sitting]) -> Sitting:
        return list_from(typed, routine, now_ms)

    return _made(request, held, now_ms, typed, routine_id, "list", make)


@router.post("/pairs")
def post_pairs(
    request: Request, held: HeldDatabase, now_ms: NowMs, typed: TypedForm, routine_id: str
) -> Response:
    def make(routine: Routine, sittings: Sequence[Sitting]) -> Sitting:
        return pairs_from(typed, routine, versions_of(routine, sittings), now_ms)

    return _made(request, held, now_ms, typed, routine_id, "pairs", make)


def _made(
    request: Request,
    held: HeldDatabase,
    now_ms: int,
    typed: Typed,
    routine_id: str,
    edit: str,
    make: Callable[[Routine, Sequence[Sitting]], Sitting],
) -> Response:
    """Set up before the writer is held: choosing decoys takes a while."""
    with held.reading() as session:
        stored = load_routine(session, routine_id)
        sittings = sittings_of(session, routine_id)
        try:
            sitting = make(stored.routine, sittings)
        except InvalidInput as error:
            form = Form(typed.values, error.faults)
            shown = _shown(session, stored, form, edit, "", now_ms)
            return page(request, shown, 422)
    with held.writing() as session:
        keep_sitting(session, sitting)
    return see(f"/routines/{routine_id}/tastings/{sitting.id}")


def _shown(
    session: Session, stored: StoredRoutine, form: Form, edit: str, deleted: str, now_ms: int
) -> TastingsPage:
    sittings = sittings_of(session, stored.routine.id)
    results = [result_of(session, each) for each in sittings]
    gone = None
    if deleted and deleted not in {each.id for each in sittings}:
        gone = load_sitting(session, deleted, now_ms).sitting
    versions = versions_of(stored.routine, sittings)
    return TastingsPage(
        **routine_context(session, stored, PLACE),
        headline=_headline(results),
        lines=tuple(_line(each) for each in results),
        gone=gone,
        edit=edit,
        form=form,
        knows_flavours=edit == "list" and _knows_flavours(stored.routine.language),
        versions=tuple((key, name) for key, (name, _) in versions.items()),
        shares=SHARES,
        risks=RISKS,
        misses=MISSES,
        needs=_needs("preference" if form.value("kind") == "preference" else "triangle")
        if edit == "pairs"
        else (),
    )


def _headline(results: Sequence[Result]) -> str:
    if not results:
        return "Nobody has tasted yet"
    tasted = sum(result.tasters for result in results)
    return f"{count(len(results), 'tasting')}, {count(tasted, 'card')} handed in"


def _line(result: Result) -> SittingLine:
    sitting = result.sitting
    about = [KINDS[sitting.kind], short_day(sitting.made_ms), count(result.tasters, "taster")]
    return SittingLine(
        sitting.id, sitting.kind, sitting.name, headline_of(result), ", ".join(about)
    )


def _needs(kind: PairKind) -> tuple[NeedRow, ...]:
    rows = []
    for share in (0.5, 0.4, 0.3, 0.2):
        found = [needed(kind, DifferenceAim(share, 0.05, beta)) for beta in MISSED_SELDOM]
        rows.append(NeedRow(f"{round(100 * share)} in 100", tuple(map(str, found))))
    return tuple(rows)


def _knows_flavours(language: str) -> bool:
    # Loaded with the first list: the start does without.
    from server.domain.tasters.flavours import knows_flavours

    return knows_flavours(language)
