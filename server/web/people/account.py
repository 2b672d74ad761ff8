"""One's own account: what one is called, the ways in, and where one is signed in."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import Conflict, InvalidInput, refuse_if
from server.domain.people.passwords import password_faults
from server.domain.people.person import Person
from server.store.database import Database
from server.store.devices import Device
from server.store.people.identities import is_known
from server.store.people.passkeys import Passkey, passkeys_of
from server.store.people.passwords import Credentials, credentials_of, keep_password
from server.store.people.persons import change_person
from server.store.people.recovery import new_recovery_codes, recovery_codes_left
from server.store.people.sign_ins import LASTS_MS, end_sign_in, end_sign_ins, sign_ins_of
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm, WriteSession
from server.web.frame.door import HeldAsker, HeldDoor
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import merged, opened, refused
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.throttle import Turn
from server.web.people.hashing import Hashing, HeldHashing
from server.web.people.leaving import Leaves
from server.web.people.sign_in import WAIT
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives, SignedInPerson

router = APIRouter(prefix="/account", dependencies=[ONLY_WITH_PEOPLE])

TIE = "organisation"
"""The form by which one ties the organisation's own sign-in to one's account."""

FRESH_MS = 10 * 60_000
WRONG = "This is not your present password."
ANEW = "Sign out and in again first: without a password, only who has just signed in may do this."
CHANGED = "Your password was changed meanwhile. Nothing was done."


@dataclass(frozen=True, kw_only=True)
class AccountPage(Page, folder="account"):
    """One's own account."""

    person: Person
    has_password: bool
    codes_left: int
    passkeys: Sequence[Passkey]
    has_oidc: bool
    is_tied: bool
    devices: Sequence[Device]
    own_key: str
    lasts_ms: int
    edit: str
    form: Form
    is_new: bool


@dataclass(frozen=True, kw_only=True)
class RecoveryCodesPage(Page, folder="recovery_codes"):
    """The recovery codes, shown this once."""

    person: Person
    codes: Sequence[str]


@router.get("")
def get_account(
    request: Request,
    held: HeldDatabase,
    asker: HeldAsker,
    person: SignedInPerson,
    now_ms: NowMs,
    edit: str = "",
    new: str = "",
) -> Response:
    form = opened({"name": person.name, "sign_in": person.sign_in}) if edit == "name" else Form()
    return account_page(request, held, asker, person, now_ms, edit, form, is_new=bool(new))


@router.post("")
def post_account(
    request: Request,
    held: HeldDatabase,
    door: HeldDoor,
    asker: HeldAsker,
    person: SignedInPerson,
    now_ms: NowMs,
    typed: TypedForm,
) -> Response:
    now = {"name": person.name, "sign_in": person.sign_in}
    try:
        typed = merged(typed, now)
        with held.writing() as session:
            change_person(session, person.id, typed.text("name"), typed.text("sign_in"))
    except InvalidInput as error:
        form = refused(typed, error, now)
        return account_page(request, held, asker, person, now_ms, "name", form, 422)
    door.forget()
    return see("/account")


@router.post("/password")
async def post_password(
    request: Request,
    arriving: Arrives,
    asker: HeldAsker,
    person: SignedInPerson,
    typed: TypedForm,
    hashing: HeldHashing,
    leaving: Leaves,
) -> Response:
    held, now_ms = arriving.held, arriving.now_ms
    password = typed.values.get("password", "")
    try:
        had = await confirmed(request, held, asker, person, typed, hashing, now_ms)
        refuse_if(password_faults(password, (person.name, person.sign_in)))
        kept = await hashing.hashed(password)

        def change(session: Session) -> str:
            _require_unchanged(session, had)
            keep_password(session, person.id, kept)
            if typed.ticked("others"):
                end_sign_ins(session, person.id, now_ms, but=arriving.own_key)
                leaving.leave(session, person.id)
            return person.id

        # With a new secret of its own: whoever had the old one has it no longer.
        return await arriving.sign_in(change, "/account")
    except InvalidInput as error:
        form = Form({"others": typed.text("others")}, error.faults)
        return await run_in_threadpool(
            account_page, request, held, asker, person, now_ms, "password", form, 422
        )


@router.post("/codes")
async def post_codes(
    request: Request,
    held: HeldDatabase,
    asker: HeldAsker,
    person: SignedInPerson,
    now_ms: NowMs,
    typed: TypedForm,
    hashing: HeldHashing,
) -> Response:
    try:
        had = await confirmed(request, held, asker, person, typed, hashing, now_ms)
    except InvalidInput as error:
        form = Form({}, error.faults)
        return await run_in_threadpool(
            account_page, request, held, asker, person, now_ms, "codes", form, 422
        )

    def make() -> tuple[str, ...]:
        with held.writing() as session:
            _require_unchanged(session, had)
            return new_recovery_codes(session, person.id)

    shown = RecoveryCodesPage(person=person, codes=await run_in_threadpool(make))
    return page(request, shown)


@router.post("/devices/others/end")
def post_end_others(
    session: WriteSession,
    leaving: Leaves,
    asker: HeldAsker,
    person: SignedInPerson,
    now_ms: NowMs,
) -> Response:
    end_sign_ins(session, person.id, now_ms, but=asker.device.key if asker.device else "")
    leaving.leave(session, person.id)
    return see("/account")


@router.post("/devices/{key}/end")
def post_end(
    session: WriteSession, leaving: Leaves, person: SignedInPerson, now_ms: NowMs, key: str
) -> Response:
    end_sign_in(session, person.id, key, now_ms)
    leaving.leave(session, person.id)
    return see("/account")


async def confirmed(
    request: Request,
    held: Database,
    asker: HeldAsker,
    person: Person,
    typed: Typed,
    hashing: Hashing,
    now_ms: int,
) -> Credentials:
    """What is kept of the present password, which was typed; who has none signed in just now.

    Raises InvalidInput.
    """
    had = await run_in_threadpool(_credentials, held, person.id)
    if had.kept is None:
        if asker.device is None or now_ms - asker.device.let_in_ms > FRESH_MS:
            raise InvalidInput.of("present", ANEW)
        return had
    turn = Turn(request.app.state.wrong_passwords, f"present {person.id}")
    await turn.come()
    if turn.is_refused:
        raise InvalidInput.of("present", WAIT)
    if not await hashing.fits(had, typed.values.get("present", "")):
        raise InvalidInput.of("present", WRONG)
    turn.was_right()
    return had


def account_page(
    request: Request,
    held: Database,
    asker: HeldAsker,
    person: Person,
    now_ms: int,
    edit: str = "",
    form: Form = Form(),  # noqa: B008
    status: int = 200,
    *,
    is_new: bool = False,
) -> Response:
    """The page of one's account, with one form open."""
    oidc = request.app.state.oidc
    with held.reading() as session:
        shown = AccountPage(
            person=person,
            has_password=credentials_of(session, person.id).kept is not None,
            codes_left=recovery_codes_left(session, person.id),
            passkeys=passkeys_of(session, person.id),
            has_oidc=oidc is not None,
            is_tied=oidc is not None and is_known(session, oidc.issuer, person.id),
            devices=sign_ins_of(session, person.id, now_ms),
            own_key=asker.device.key if asker.device else "",
            lasts_ms=LASTS_MS,
            edit=edit,
            form=form,
            is_new=is_new,
        )
    return page(request, shown, status)


def _credentials(held: Database, person_id: str) -> Credentials:
    with held.reading() as session:
        return credentials_of(session, person_id)


def _require_unchanged(session: Session, had: Credentials) -> None:
    if credentials_of(session, had.person_id) != had:
        raise Conflict(CHANGED)
