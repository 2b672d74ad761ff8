"""The page on a taster's phone: what is in the glass, then the words or the glasses.

It goes on without network: what is answered is kept on the phone and sent when it can be, all of it
each time, so that it may be sent twice.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import Conflict, InvalidInput, NotAdmitted
from server.domain.tasters.serving import GlassSet, shuffled
from server.domain.tasters.sitting import Sitting
from server.domain.tasters.taster_answers import STRENGTHS, WHEN, Answer, Moment, answer_from
from server.store.database import Database
from server.store.tastings.sittings import require_sitting
from server.store.tastings.tasters import Taster, keep_answer, take_place
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm
from server.web.frame.door import HeldAsker
from server.web.frame.editing import Sent
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.tasters.evening import earlier_of
from server.web.tasters.in_glass import InGlass, in_glass

router = APIRouter(prefix="/tastings/{sitting_id}/taste")

OF_AGE, IS_FINE = "of_age", "is_fine"


@dataclass(frozen=True)
class TasterCardWord:
    """A word as it stands on one taster's card; `at` is its place in the sitting."""

    at: int
    word: str


@dataclass(frozen=True, kw_only=True)
class CardPage(Page, folder="taste_card"):
    """A taster's page; no words and no glasses before they said that they may taste."""

    sitting: Sitting
    taster: Taster
    glass: InGlass
    earlier: str
    words: tuple[TasterCardWord, ...]
    glasses: GlassSet | None
    moments: Mapping[Moment, str]
    strengths: Mapping[int, str]
    answered: Mapping[str, str]
    form: Form


@router.get("")
def card_page(
    request: Request, session: ReadSession, asker: HeldAsker, now_ms: NowMs, sitting_id: str
) -> Response:
    if asker.taster is None:
        return see("/taste")
    sitting = require_sitting(session, sitting_id, now_ms).sitting
    shown = page(request, _card(session, sitting, asker.taster, Form(), now_ms))
    # Kept for a while, so that it opens again while the server is away; it is one taster's alone.
    kept = "private, max-age=3600" if asker.taster.place else "private, no-cache"
    shown.headers["Cache-Control"] = kept
    shown.headers["Vary"] = "Cookie, HX-Target"
    return shown


@router.post("/begin")
def post_begin(sent: Sent, asker: HeldAsker, now_ms: NowMs, sitting_id: str) -> Response:
    """Whoever may drink, and whom nothing in it hurts, takes a place."""
    taster = asker.taster
    if taster is None:
        return see("/taste")
    sitting, typed = _sitting(sent.held, sitting_id, now_ms), sent.typed
    if in_glass(sitting).may_hold_alcohol and not typed.ticked(OF_AGE):
        typed.fault(OF_AGE, "Only those of legal age taste what may hold alcohol.")
    if not typed.ticked(IS_FINE):
        typed.fault(IS_FINE, "If you are not sure, do not taste, and tell the host.")

    def change(session: Session) -> str:
        take_place(session, sitting_id, taster.key, sitting.most_tasters)
        return f"/tastings/{sitting_id}/taste"

    return sent.save(change, lambda session, form: _card(session, sitting, taster, form, now_ms))


@router.post("/answer")
def post_answer(
    request: Request,
    held: HeldDatabase,
    asker: HeldAsker,
    now_ms: NowMs,
    typed: TypedForm,
    sitting_id: str,
) -> Response:
    """An answer, all of it; an older one than is kept changes nothing."""
    taster = asker.taster
    if taster is None:
        raise NotAdmitted("This phone is not at this tasting.")
    if not taster.place:
        raise Conflict("First say that you may taste.")
    sitting = _sitting(held, sitting_id, now_ms)
    by_script = "application/json" in request.headers.get("accept", "")
    try:
        answer = answer_from(typed.values, sitting, _glasses(sitting, taster))
        # A browser without scripts counts nothing: what it sends is always the latest.
        if not by_script:
            answer = Answer(taster.answer.count + 1, answer.done, answer.ticks, answer.chosen)
    except InvalidInput as error:
        form = Form(typed.values, error.faults)
        with held.reading() as session:
            shown = _card(session, sitting, taster, form, now_ms)
        return page(request, shown, 422)
    with held.writing() as session:
        keep_answer(session, sitting_id, taster.key, answer, now_ms)
    if by_script:
        return Response(status_code=204)
    # Another address than the page that the browser keeps for when the server is away.
    return see(f"/tastings/{sitting_id}/taste?sent={answer.count}")


def _sitting(held: Database, sitting_id: str, now_ms: int) -> Sitting:
    with held.reading() as session:
        return require_sitting(session, sitting_id, now_ms).sitting


def _glasses(sitting: Sitting, taster: Taster) -> GlassSet | None:
    return sitting.sets[taster.place - 1] if sitting.sets and taster.place else None


def _card(session: Session, sitting: Sitting, taster: Taster, form: Form, now_ms: int) -> CardPage:
    order = shuffled(len(sitting.words), sitting.seed, taster.key) if taster.place else []
    return CardPage(
        sitting=sitting,
        taster=taster,
        glass=in_glass(sitting),
        earlier=earlier_of(session, sitting, (taster.key,), now_ms).get(taster.key, ""),
        words=tuple(TasterCardWord(at, sitting.words[at].word) for at in order),
        glasses=_glasses(sitting, taster),
        moments=WHEN,
        strengths=STRENGTHS,
        answered=_answered(taster.answer) | dict(form.values),
        form=form,
    )


def _answered(answer: Answer) -> dict[str, str]:
    """An answer as the fields of its form."""
    fields = {"chosen": answer.chosen}
    for tick in answer.ticks:
        fields[f"word-{tick.word}"] = "yes"
        fields[f"when-{tick.word}"] = tick.when
        fields[f"strength-{tick.word}"] = str(tick.strength or "")
    return fields
