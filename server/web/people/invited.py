"""By invitation: the link, the form it opens, and the account that is made by it."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import Fault, Gone, InvalidInput
from server.domain.people.person import Person
from server.store.database import Database
from server.store.people.invitations import (
    PersonInvitation,
    accept_invitation,
    invitation_with,
)
from server.store.people.persons import make_person
from server.web.frame.cookies import keep
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm
from server.web.frame.door import HeldPerson
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.people.hashing import HeldHashing
from server.web.people.new_account import NewAccountPage, account_form, read_account
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives

router = APIRouter(prefix="/invited", dependencies=[ONLY_WITH_PEOPLE])

ACTION = "/invited/account"
INVITED = "ninefifty-invited"
"""The cookie with the invitation that was opened, for one who goes on to sign in elsewhere."""

INVITED_LASTS_S = 30 * 60


@dataclass(frozen=True, kw_only=True)
class SecretLinkPage(Page, folder="secret_link"):
    """What a link with a secret opens: the secret stands behind the "#", where no server hears it,
    and the page posts it.
    """

    form: Form
    action: str
    title: str
    words: str


def link_page(
    request: Request, action: str, title: str, words: str, faults: tuple[Fault, ...] = ()
) -> Response:
    """The page of a link with a secret; with what is wrong with the link, if anything."""
    shown = SecretLinkPage(form=Form({}, faults), action=action, title=title, words=words)
    return page(request, shown, 410 if faults else 200)


def _link(request: Request, faults: tuple[Fault, ...] = ()) -> Response:
    words = "Open the link that you were sent. If it does not lead on by itself, paste it here."
    return link_page(request, "/invited", "You are invited", words, faults)


@router.get("")
def get_invited(request: Request) -> Response:
    return _link(request)


@router.post("")
def post_invited(
    request: Request, held: HeldDatabase, person: HeldPerson, now_ms: NowMs, typed: TypedForm
) -> Response:
    secret = secret_of(typed.text("secret"))
    try:
        invitation = _read(held, secret, now_ms)
    except Gone as error:
        return _link(request, (Fault("secret", error.message),))
    form = Form({"secret": secret, "name": invitation.name})
    answer = _page(request, form, invitation, person)
    if request.app.state.oidc is not None:
        keep(request, answer, INVITED, secret, INVITED_LASTS_S)
    return answer


@router.post("/account")
async def post_account(
    request: Request,
    held: HeldDatabase,
    arriving: Arrives,
    now_ms: NowMs,
    typed: TypedForm,
    hashing: HeldHashing,
    own: HeldPerson,
) -> Response:
    secret = typed.text("secret")
    try:
        invitation = await run_in_threadpool(_read, held, secret, now_ms)
        if own is not None and typed.ticked("take"):
            await run_in_threadpool(_take, held, secret, own, now_ms)
            return see("/")
        new = read_account(typed)
        kept = await hashing.hashed(new.password)

        def make(session: Session) -> str:
            invitation_with(session, secret, now_ms)
            person = make_person(session, new.name, new.sign_in, now_ms, password=kept)
            accept_invitation(session, secret, person, now_ms)
            return person.id

        return await arriving.sign_in(make, "/account?new=yes")
    except Gone as error:
        return _link(request, (Fault("secret", error.message),))
    except InvalidInput as error:
        return _page(request, account_form(typed, error.faults), invitation, own, 422)


def secret_of(typed: str) -> str:
    """The secret in a link that was pasted, or the secret itself."""
    return typed.rsplit("#", 1)[-1].strip()


def _read(held: Database, secret: str, now_ms: int) -> PersonInvitation:
    with held.reading() as session:
        return invitation_with(session, secret, now_ms)


def _take(held: Database, secret: str, person: Person, now_ms: int) -> None:
    """What else an invitation brings becomes that of one who has an account."""
    with held.writing() as session:
        accept_invitation(session, secret, person, now_ms)


def _page(
    request: Request,
    form: Form,
    invitation: PersonInvitation,
    own: Person | None,
    status: int = 200,
) -> Response:
    shown = NewAccountPage(
        form=form,
        invited_by=invitation.invited_by.name,
        action=ACTION,
        has_oidc=request.app.state.oidc is not None,
        brings=invitation.document is not None,
        own_name=own.name if own else "",
    )
    return page(request, shown, status)
