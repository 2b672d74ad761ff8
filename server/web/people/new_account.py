"""Making an account: the first, and what such a form holds wherever it stands."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import Fault, InvalidInput, NotAllowed, refuse_if
from server.domain.people.passwords import password_faults
from server.domain.people.person import person_faults
from server.store.people.persons import has_people, make_person
from server.web.frame.dependencies import TypedForm
from server.web.frame.door import HeldAsker
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.people.hashing import HeldHashing
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives

router = APIRouter(dependencies=[ONLY_WITH_PEOPLE])

IS_MADE = "The first account is made already. Sign in, or ask its admin for an invitation."


@dataclass(frozen=True, kw_only=True)
class NewAccountPage(Page, folder="new_account"):
    """Where one makes an account: the first, or as one who is invited."""

    form: Form
    invited_by: str
    """ "" for the first account."""
    action: str
    has_oidc: bool = False
    """Whether one may come in by an organisation's own sign-in instead."""
    brings: bool = False
    """Whether a routine comes with the invitation."""
    own_name: str = ""
    """Who is signed in in this browser already, if anybody is."""


@dataclass(frozen=True)
class NewAccount:
    """What was typed to make an account."""

    name: str
    sign_in: str
    password: str


def read_account(typed: Typed) -> NewAccount:
    """A new account as it was typed. Raises InvalidInput with every fault."""
    name, sign_in = typed.text("name"), typed.text("sign_in")
    password = typed.values.get("password", "")
    refuse_if([*person_faults(name, sign_in), *password_faults(password, (name, sign_in))])
    return NewAccount(name, sign_in, password)


def account_form(typed: Typed, faults: tuple[Fault, ...] = ()) -> Form:
    """The form as it was typed; a password is never sent back."""
    kept = {name: typed.text(name) for name in ("name", "sign_in", "secret")}
    return Form(kept, faults)


@router.get("/first-account")
def get_first_account(request: Request, asker: HeldAsker) -> Response:
    return _page(request, Form()) if asker.is_first else see("/")


@router.post("/first-account")
async def post_first_account(
    request: Request,
    arriving: Arrives,
    asker: HeldAsker,
    typed: TypedForm,
    hashing: HeldHashing,
) -> Response:
    if not asker.is_first:
        raise NotAllowed(IS_MADE)
    try:
        new = read_account(typed)
        kept = await hashing.hashed(new.password)

        def make(session: Session) -> str:
            if has_people(session):
                raise NotAllowed(IS_MADE)
            made = make_person(session, new.name, new.sign_in, arriving.now_ms, password=kept)
            return made.id

        return await arriving.sign_in(make, "/account?new=yes")
    except InvalidInput as error:
        return _page(request, account_form(typed, error.faults), 422)


def _page(request: Request, form: Form, status: int = 200) -> Response:
    shown = NewAccountPage(form=form, invited_by="", action="/first-account")
    return page(request, shown, status)
