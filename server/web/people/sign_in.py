"""Signing in by name and password, and out again."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import Fault, NotFound
from server.domain.people.person import LONGEST_SIGN_IN, sign_in_key
from server.store.devices import take_out
from server.store.people.passwords import (
    Credentials,
    credentials_for,
    is_outdated,
    keep_password,
)
from server.store.people.persons import has_people
from server.store.people.sign_ins import device_known_for
from server.web.frame.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.door import HeldAsker
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.throttle import HeldTurn, Turn
from server.web.people.hashing import HeldHashing
from server.web.people.leaving import Leaves
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives, own_path

router = APIRouter(dependencies=[ONLY_WITH_PEOPLE])

WRONG = "This name and this password do not belong together."
WAIT = "Too many wrong passwords were tried. Wait a minute, then try again."


@dataclass(frozen=True, kw_only=True)
class SignInPage(Page, folder="sign_in"):
    """Where one signs in."""

    form: Form
    is_empty: bool
    """Whether nobody has an account yet."""
    has_oidc: bool
    """Whether one may come in by an organisation's own sign-in."""


def sign_in_page(
    request: Request, form: Form, status: int = 200, *, is_empty: bool = False
) -> Response:
    """The page to sign in on, as it was typed but for the password."""
    has_oidc = request.app.state.oidc is not None
    shown = SignInPage(form=form, is_empty=is_empty, has_oidc=has_oidc)
    return page(request, shown, status)


@router.get("/sign-in")
def get_sign_in(
    request: Request, asker: HeldAsker, session: ReadSession, to: str = "/"
) -> Response:
    if asker.person is not None:
        return see(own_path(to))
    form = Form({"sign_in": "", "to": own_path(to)})
    return sign_in_page(request, form, is_empty=not has_people(session))


@router.post("/sign-in")
async def post_sign_in(
    request: Request,
    arriving: Arrives,
    typed: TypedForm,
    address_turn: HeldTurn,
    hashing: HeldHashing,
) -> Response:
    sign_in, password = typed.text("sign_in"), typed.values.get("password", "")
    kept = {"sign_in": sign_in, "to": own_path(typed.text("to"))}
    missing = _missing(sign_in, password)
    if missing:
        address_turn.was_right()
        return sign_in_page(request, Form(kept, missing), 422)
    found, known_at = await run_in_threadpool(_known, arriving, sign_in)
    turn = await _account_turn(request, sign_in, known_at)
    if address_turn.is_refused or turn.is_refused:
        return sign_in_page(request, Form(kept, (Fault("password", WAIT),)), 429)
    if not await hashing.fits(found, password):
        return sign_in_page(request, Form(kept, (Fault("password", WRONG),)), 422)
    address_turn.was_right()
    turn.was_right()
    anew = ""
    if found.kept is not None and is_outdated(found.kept):
        anew = await hashing.hashed(password)

    def decide(session: Session) -> str:
        # Whoever changed it, or ended the account, while it was looked at, was before this.
        if credentials_for(session, sign_in) != found:
            raise NotFound(WRONG)
        if anew:
            keep_password(session, found.person_id, anew)
        return found.person_id

    return await arriving.sign_in(decide, kept["to"])


@router.post("/sign-out")
def post_sign_out(
    session: WriteSession, leaving: Leaves, asker: HeldAsker, now_ms: NowMs
) -> Response:
    if asker.person is not None and asker.device is not None:
        take_out(session, asker.device.key, now_ms)
        leaving.leave(session, asker.person.id)
    answer = see("/sign-in")
    # What pages left behind in the browser; marks are kept elsewhere, and stay.
    answer.headers["Clear-Site-Data"] = '"cache"'
    return answer


def _missing(sign_in: str, password: str) -> tuple[Fault, ...]:
    faults = [] if sign_in else [Fault("sign_in", "Give the name you sign in by.")]
    return (*faults, *(() if password else (Fault("password", "Give your password."),)))


def _known(arriving: Arrives, sign_in: str) -> tuple[Credentials, str]:
    """What the password is held against, and the device here where they were before, if any."""
    with arriving.held.reading() as session:
        found = credentials_for(session, sign_in)
        return found, device_known_for(session, found.person_id, arriving.tokens)


async def _account_turn(request: Request, sign_in: str, known_at: str) -> Turn:
    """A try at this account. Where its person was signed in before nobody else's tries count."""
    whose = sign_in_key(sign_in)[:LONGEST_SIGN_IN] + (f" at {known_at}" if known_at else "")
    turn = Turn(request.app.state.wrong_passwords, whose)
    await turn.come()
    return turn
