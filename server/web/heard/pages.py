"""The page of a take: looked at, listened to, decided on, deleted and brought back."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.domain.base.durations import parse_duration
from server.domain.base.errors import Conflict, InvalidInput, NotFound
from server.domain.base.numbers import read_number
from server.domain.routine.plan import Plan
from server.domain.runs.events import VERDICTS, Verdict
from server.store.database import after_commit
from server.store.heard.forgetting import forget_take
from server.store.heard.jobs import ask_again, ask_for_words, cancel_job
from server.store.heard.sound import sound_row
from server.store.heard.takes import (
    decide,
    delete_take,
    load_take,
    restore_take,
    set_beside,
    set_plan,
    set_words,
)
from server.store.plans import freeze_plan
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import load_run
from server.store.uploads.before_writing import looked_at
from server.web.frame.dependencies import (
    HeldDatabase,
    HeldSettings,
    NowMs,
    ReadSession,
    TypedForm,
    WriteSession,
    made_of,
)
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import Values, merged, refused
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.uploads.uploaded import RecordingsFolder
from server.web.heard.held import PASTED, HeldHearing, HeldWords
from server.web.heard.reading import require_reading
from server.web.heard.starts import require_room
from server.web.heard.take_page import BOUNDARY, Asked, start_form, take_page_of

FOLDS = ("more", "missed", "heard", "unplanned")
"""The folds of claims: one stays open while its claims are decided on."""

router = APIRouter(prefix="/takes/{take_id}")


@router.get("")
def take_page(
    request: Request,
    session: ReadSession,
    settings: HeldSettings,
    hearing: HeldHearing,
    take_id: str,
    asked: Annotated[Asked, Depends(made_of(Asked))],
) -> Response:
    shown = take_page_of(session, settings, take_id, hearing, asked)
    return page(request, shown)


@router.get("/job")
def get_job(session: ReadSession, take_id: str) -> dict[str, object]:
    """How far the recogniser has come, for the page to ask now and then."""
    take = load_take(session, take_id)
    return {"job": take.doing, "share": take.job_share}


@router.post("/words")
def post_words(
    words: HeldWords, settings: HeldSettings, hearing: HeldHearing, take_id: str
) -> Response:
    """Give a take captions or a text; they take the place of the words it has."""

    def keep(session: Session, name: str, text: str) -> str:
        set_words(session, take_id, text, name or PASTED)
        after_commit(session, lambda: hearing.leave(take_id))
        return f"/takes/{take_id}"

    def again(session: Session, form: Form) -> Page:
        return take_page_of(session, settings, take_id, hearing, Asked(edit="words"), form)

    return words.take_in(keep, again)


@router.post("/listen")
def post_listen(held: HeldDatabase, hearing: HeldHearing, take_id: str) -> Response:
    """Have the recogniser find the words."""
    with held.writing() as session:
        ask_for_words(session, take_id)
    hearing.look()
    return see(f"/takes/{take_id}")


@router.post("/listen/again")
def post_listen_again(held: HeldDatabase, hearing: HeldHearing, take_id: str) -> Response:
    """Have what was not heard laid over the sound once more."""
    if not hearing.listens_again:
        raise Conflict("This computer has nothing to listen again with.")
    with held.writing() as session:
        ask_again(session, take_id)
    hearing.look()
    return see(f"/takes/{take_id}")


@router.post("/listen/cancel")
def post_cancel(held: HeldDatabase, hearing: HeldHearing, take_id: str) -> Response:
    with held.writing() as session:
        cancel_job(session, take_id)
    hearing.leave(take_id)
    return see(f"/takes/{take_id}")


@router.post("/starts/{key}")
def post_start(
    request: Request,
    held: HeldDatabase,
    settings: HeldSettings,
    hearing: HeldHearing,
    folder: RecordingsFolder,
    take_id: str,
    key: str,
    typed: TypedForm,
) -> Response:
    """Move a boundary, or leave it where it was heard (`reset`)."""
    with held.reading() as session:
        reading = require_reading(session, take_id, folder)
    line = next((each for each in reading.lines if each.key == key), None)
    if line is None:
        raise NotFound("This take has no such boundary.")
    now = start_form(line).values
    try:
        typed, at_ms = _moment(typed, now)
        if at_ms is not None:
            require_room(reading.lines, key, at_ms)
        with held.writing() as session:
            decide(session, take_id, lambda decided: decided.moved(key, at_ms))
    except InvalidInput as error:
        form = refused(typed, error, now)
        with held.reading() as session:
            asked = Asked(open=f"{BOUNDARY}{key}")
            shown = take_page_of(session, settings, take_id, hearing, asked, form)
        return page(request, shown, 422)
    return see(f"/takes/{take_id}?open={BOUNDARY}{key}")


@router.post("/claims")
def post_claim(session: WriteSession, take_id: str, typed: TypedForm) -> Response:
    """What the person says of a claim; any other word leaves it as it was found."""
    key, verdict = typed.text("claim"), _verdict(typed)
    if not key:
        raise InvalidInput.of("claim", "Say which claim.")
    decide(session, take_id, lambda decided: decided.listened(key[:300], verdict))
    fold = typed.choice("open")
    return see(
        f"/takes/{take_id}?open={fold}#claims" if fold in FOLDS else f"/takes/{take_id}#claims"
    )


@router.post("/plan")
def post_plan(held: HeldDatabase, take_id: str) -> Response:
    """Lay a take against the plan and the script of today."""
    with held.writing() as session:
        take = load_take(session, take_id)
        routine = load_routine(session, take.routine_id).routine
        key = freeze_plan(session, Plan(routine, load_rule_sheet(session, routine.rule_sheet_id)))
        set_plan(session, take_id, key)
    return see(f"/takes/{take_id}")


@router.post("/beside")
def post_beside(session: WriteSession, take_id: str, typed: TypedForm) -> Response:
    """Lay a run beside a take that was marked by hand, or none."""
    take, run_id = load_take(session, take_id), typed.text("run")
    if run_id and load_run(session, run_id).routine_id != take.routine_id:
        raise NotFound("There is no such run of this routine.")
    set_beside(session, take_id, run_id or None)
    return see(f"/takes/{take_id}")


@router.post("/delete")
def post_delete(held: HeldDatabase, hearing: HeldHearing, now_ms: NowMs, take_id: str) -> Response:
    with held.writing() as session:
        routine_id = delete_take(session, take_id, now_ms)
    hearing.leave(take_id)
    return see(f"/routines/{routine_id}/takes?deleted={take_id}")


@router.post("/restore")
def post_restore(held: HeldDatabase, folder: RecordingsFolder, take_id: str) -> Response:
    folder = looked_at(held, folder, sound_row(take_id))
    with held.writing() as session:
        restore_take(session, folder, take_id)
    return see(f"/takes/{take_id}")


@router.post("/forget")
def post_forget(held: HeldDatabase, folder: RecordingsFolder, take_id: str) -> Response:
    """Delete a deleted take for good at once: its sound and its words."""
    forget_take(held, folder, take_id)
    return see("/deleted")


def _moment(typed: Typed, now: Values) -> tuple[Typed, int | None]:
    """Where a boundary is put, ms: at a word, at a moment that was typed, or where it was heard."""
    if typed.ticked("reset"):
        return typed, None
    if word := typed.text("word"):
        return typed, int(read_number(word, "at"))
    typed = merged(typed, now)
    return typed, round(parse_duration(typed.text("at"), "at") * 1000)


def _verdict(typed: Typed) -> Verdict | None:
    return next((each for each in VERDICTS if each == typed.text("verdict")), None)
