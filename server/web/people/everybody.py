"""Who has an account, and who is invited to one: the admin's page."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import Conflict, InvalidInput
from server.domain.people.person import Person
from server.store.database import Database, after_commit
from server.store.people.invitations import (
    PersonInvitation,
    invite_person,
    standing_invitations,
    withdraw_invitation,
)
from server.store.people.persons import (
    end_person,
    find_person,
    give_back,
    list_people,
    load_person,
    set_admin,
)
from server.store.people.recovery import RESET_LASTS_MS, make_reset
from server.store.people.sign_ins import end_sign_ins
from server.store.sharing.inheriting import (
    Inherited,
    bring_back_sheets,
    heirs,
    inherit,
    inherited_by,
)
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm, WriteSession
from server.web.frame.door import HeldDoor
from server.web.frame.forms import Form
from server.web.frame.reach import address_for_others
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.people.leaving import Leaves
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Admin

router = APIRouter(prefix="/people", dependencies=[ONLY_WITH_PEOPLE])


@dataclass(frozen=True)
class SecretLink:
    """A link with a secret in it, shown this once: what for, and for whom."""

    url: str
    kind: str
    name: str


@dataclass(frozen=True, kw_only=True)
class PeoplePage(Page, folder="people"):
    """Who has an account."""

    people: Sequence[Person]
    heirs: Mapping[str, str]
    """Id of one whose account was ended -> who has what they alone owned."""
    inherited: Sequence[Inherited]
    """What came to whoever looks, and is theirs still."""
    invitations: Sequence[PersonInvitation]
    own_id: str
    form: Form
    link: SecretLink | None
    edit: str


@router.get("")
def get_people(
    request: Request, held: HeldDatabase, admin: Admin, now_ms: NowMs, edit: str = ""
) -> Response:
    return _page(request, held, admin, now_ms, edit=edit)


@router.post("/invite")
def post_invite(
    request: Request, held: HeldDatabase, admin: Admin, now_ms: NowMs, typed: TypedForm
) -> Response:
    name = typed.text("name")
    try:
        with held.writing() as session:
            _, secret = invite_person(session, admin.id, name, now_ms)
    except InvalidInput as error:
        return _page(request, held, admin, now_ms, Form(typed.values, error.faults), status=422)
    link = SecretLink(_url(request, f"/invited#{secret}"), "invitation", name)
    return _page(request, held, admin, now_ms, link=link)


@router.post("/invitations/{invitation_id}/withdraw")
def post_withdraw(
    session: WriteSession, _admin: Admin, now_ms: NowMs, invitation_id: str
) -> Response:
    withdraw_invitation(session, invitation_id, now_ms)
    return see("/people")


@router.post("/{person_id}/end")
def post_end(
    session: WriteSession, leaving: Leaves, admin: Admin, now_ms: NowMs, person_id: str
) -> Response:
    if person_id == admin.id:
        raise Conflict("Another admin ends your account.")
    end_person(session, person_id, now_ms)
    end_sign_ins(session, person_id, now_ms)
    inherit(session, admin.id, now_ms, person_id)
    leaving.leave(session, person_id)
    return see("/people")


@router.post("/{person_id}/back")
def post_back(session: WriteSession, door: HeldDoor, _admin: Admin, person_id: str) -> Response:
    give_back(session, person_id)
    bring_back_sheets(session, person_id)
    after_commit(session, door.forget)
    return see("/people")


@router.post("/{person_id}/admin")
def post_admin(
    session: WriteSession, door: HeldDoor, _admin: Admin, typed: TypedForm, person_id: str
) -> Response:
    set_admin(session, person_id, typed.text("is") == "yes")
    after_commit(session, door.forget)
    return see("/people")


@router.post("/{person_id}/reset")
def post_reset(
    request: Request, held: HeldDatabase, admin: Admin, now_ms: NowMs, person_id: str
) -> Response:
    with held.writing() as session:
        person = load_person(session, person_id)
        if find_person(session, person_id) is None:
            raise InvalidInput.of("", "This account is ended: give it back first.")
        secret = make_reset(session, person_id, now_ms, admin.id, RESET_LASTS_MS)
    link = SecretLink(_url(request, f"/reset#{secret}"), "reset", person.name)
    return _page(request, held, admin, now_ms, link=link)


def _url(request: Request, path: str) -> str:
    base = address_for_others(request) or f"{request.url.scheme}://{request.url.netloc}"
    return base + path


def _page(
    request: Request,
    held: Database,
    admin: Person,
    now_ms: int,
    form: Form = Form(),  # noqa: B008
    *,
    link: SecretLink | None = None,
    edit: str = "",
    status: int = 200,
) -> Response:
    with held.reading() as session:
        shown = PeoplePage(
            people=list_people(session),
            heirs=heirs(session),
            inherited=inherited_by(session, admin.id),
            invitations=standing_invitations(session, now_ms),
            own_id=admin.id,
            form=form,
            link=link,
            edit=edit,
        )
    return page(request, shown, status)
