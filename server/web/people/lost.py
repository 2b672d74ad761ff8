"""Back in without the password: by a recovery code of one's own, or by a link that was given."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import Fault, Gone, InvalidInput, refuse_if
from server.domain.people.passwords import password_faults
from server.domain.people.person import Person
from server.store.database import Database
from server.store.people.passwords import credentials_for, keep_password
from server.store.people.recovery import reset_for, use_recovery_code, use_reset
from server.store.people.sign_ins import end_sign_ins
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm
from server.web.frame.forms import Form
from server.web.frame.render import page
from server.web.frame.shown import Page
from server.web.frame.throttle import HeldTurn
from server.web.people.hashing import HeldHashing
from server.web.people.invited import link_page, secret_of
from server.web.people.leaving import Leaves, WayOut
from server.web.people.sign_in import WAIT
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives

router = APIRouter(dependencies=[ONLY_WITH_PEOPLE])

WRONG_CODE = (
    "This name and this code do not belong together, or the code was used before: each is good "
    "once."
)


@dataclass(frozen=True, kw_only=True)
class RecoverPage(Page, folder="recover"):
    """Where one sets a new password by a recovery code."""

    form: Form


@dataclass(frozen=True, kw_only=True)
class ResetPage(Page, folder="reset"):
    """Where one sets a new password by a link that was given."""

    form: Form
    person: Person


def _recover_page(request: Request, form: Form, status: int = 200) -> Response:
    return page(request, RecoverPage(form=form), status)


@router.get("/recover")
def get_recover(request: Request) -> Response:
    return _recover_page(request, Form())


@router.post("/recover")
async def post_recover(
    request: Request,
    arriving: Arrives,
    leaving: Leaves,
    typed: TypedForm,
    turn: HeldTurn,
    hashing: HeldHashing,
) -> Response:
    sign_in, code = typed.text("sign_in"), typed.text("code")
    password = typed.values.get("password", "")
    form = {"sign_in": sign_in, "code": code}
    try:
        if turn.is_refused:
            return _recover_page(request, Form(form, (Fault("code", WAIT),)), 429)
        # A code is used up only once the new password is one that will do.
        refuse_if(password_faults(password, (sign_in,)))
        kept = await hashing.hashed(password)

        def recover(session: Session) -> str:
            person_id = credentials_for(session, sign_in).person_id
            if not use_recovery_code(session, person_id, code, arriving.now_ms):
                raise InvalidInput.of("code", WRONG_CODE)
            return _anew(session, leaving, person_id, kept, arriving.now_ms)

        answer = await arriving.sign_in(recover, "/account")
    except InvalidInput as error:
        if error.faults[0].field == "password":
            turn.was_right()
        return _recover_page(request, Form(form, error.faults), 422)
    turn.was_right()
    return answer


@router.get("/reset")
def get_reset(request: Request) -> Response:
    return _reset_link(request)


@router.post("/reset")
def post_reset(request: Request, held: HeldDatabase, now_ms: NowMs, typed: TypedForm) -> Response:
    secret = secret_of(typed.text("secret"))
    try:
        person = _read(held, secret, now_ms)
    except Gone as error:
        return _reset_link(request, (Fault("secret", error.message),))
    shown = ResetPage(form=Form({"secret": secret}), person=person)
    return page(request, shown)


@router.post("/reset/password")
async def post_reset_password(
    request: Request,
    held: HeldDatabase,
    arriving: Arrives,
    leaving: Leaves,
    now_ms: NowMs,
    typed: TypedForm,
    hashing: HeldHashing,
) -> Response:
    secret, password = typed.text("secret"), typed.values.get("password", "")
    try:
        person = await run_in_threadpool(_read, held, secret, now_ms)
        refuse_if(password_faults(password, (person.name, person.sign_in)))
        kept = await hashing.hashed(password)

        def reset(session: Session) -> str:
            person_id = use_reset(session, secret, now_ms).id
            return _anew(session, leaving, person_id, kept, now_ms)

        return await arriving.sign_in(reset, "/account")
    except Gone as error:
        return _reset_link(request, (Fault("secret", error.message),))
    except InvalidInput as error:
        shown = ResetPage(form=Form({"secret": secret}, error.faults), person=person)
        return page(request, shown, 422)


def _anew(session: Session, leaving: WayOut, person_id: str, kept: str, now_ms: int) -> str:
    """A new password; whoever was signed in by the one before is so no longer."""
    keep_password(session, person_id, kept)
    end_sign_ins(session, person_id, now_ms)
    leaving.leave(session, person_id)
    return person_id


def _reset_link(request: Request, faults: tuple[Fault, ...] = ()) -> Response:
    words = "Open the link that you were given. If it does not lead on by itself, paste it here."
    return link_page(request, "/reset", "Set a new password", words, faults)


def _read(held: Database, secret: str, now_ms: int) -> Person:
    with held.reading() as session:
        return reset_for(session, secret, now_ms)
