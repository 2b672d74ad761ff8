"""The people of a routine: who stands how to it, added, changed, taken away, handed on to."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.domain.base.errors import Conflict, InvalidInput
from server.domain.base.standings import STANDINGS, Standing
from server.domain.people.person import Person
from server.domain.whole.exchange import to_json
from server.store.people.invitations import invite_person
from server.store.people.persons import load_person, person_by_sign_in
from server.store.sharing.inviting import OfferedShare
from server.store.sharing.passes import end_passes, key_of_person
from server.store.sharing.shares import give_share, grants_on, hand_on, sharers_of, take_share
from server.store.sharing.teams import give_to_team, take_from_team, team_of, teams_of
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import Sent
from server.web.frame.forms import Form, Typed
from server.web.frame.offered.scope import HeldSignedIn
from server.web.frame.reach import address_for_others
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.live.bus import LiveBus
from server.web.live.followers import HeldBus
from server.web.sharing.shares_page import NEW_SHARE, SharesAsked, share_values, shares_page_of

router = APIRouter(prefix="/routines/{routine_id}/people")

UNKNOWN = "Nobody here signs in by this name: everybody reads theirs under “Your account”."
BY_LINK = "Who has no account gets a link: the button below makes it."
THERE = "They stand to this routine already: change how, in the list."


@router.get("")
def shares_page(
    request: Request,
    session: ReadSession,
    person: HeldSignedIn,
    routine_id: str,
    asked: Annotated[SharesAsked, Depends()],
) -> Response:
    return page(request, shares_page_of(session, routine_id, person, asked))


@router.post("")
def post_share(sent: Sent, person: HeldSignedIn, now_ms: NowMs, routine_id: str) -> Response:
    """Somebody who has an account, by the name they sign in by."""

    def change(session: Session) -> str:
        other = person_found(session, sent.typed)
        if grants_on(session, other.id, routine_id):
            raise InvalidInput.of("sign_in", THERE)
        standing, hears = share_from(sent.typed)
        give_share(session, routine_id, other.id, standing, now_ms, hears=hears)
        return _place(routine_id)

    def again(session: Session, form: Form) -> Page:
        return shares_page_of(session, routine_id, person, SharesAsked(), form)

    return sent.save(change, again)


@router.post("/invite")
def post_invite(
    request: Request,
    held: HeldDatabase,
    person: HeldSignedIn,
    now_ms: NowMs,
    routine_id: str,
    typed: TypedForm,
) -> Response:
    """Somebody who has no account: a link makes one, and with it their share."""
    link, form, status = "", NEW_SHARE, 200
    try:
        standing, hears = share_from(typed)
        offered = to_json(OfferedShare(routine_id, standing, hears))
        with held.writing() as session:
            secret = invite_person(session, person.id, "", now_ms, offered)[1]
        base = address_for_others(request) or str(request.base_url).rstrip("/")
        link = f"{base}/invited#{secret}"
    except InvalidInput as error:
        form, status = Form(typed.values, error.faults), 422
    with held.reading() as session:
        shown = shares_page_of(session, routine_id, person, SharesAsked(), form, link=link)
    return page(request, shown, status)


@router.post("/hand-on")
def post_hand_on(
    session: WriteSession, person: HeldSignedIn, now_ms: NowMs, routine_id: str, typed: TypedForm
) -> Response:
    """Another who stands to it becomes the owner; who was it stays as a co-presenter."""
    to_id = typed.text("to")
    heirs = {each.person_id for each in sharers_of(session, routine_id) if not each.has_ended}
    if to_id not in heirs:
        raise InvalidInput.of("to", "Choose who is to own it.")
    hand_on(session, routine_id, person.id, to_id, now_ms)
    return see(_place(routine_id))


@router.post("/leave")
def post_leave(
    session: WriteSession, bus: HeldBus, person: HeldSignedIn, now_ms: NowMs, routine_id: str
) -> Response:
    take_share(session, routine_id, person.id)
    shut_out(session, bus, routine_id, person.id, now_ms)
    return see("/")


@router.post("/team")
def post_team(
    session: WriteSession, person: HeldSignedIn, routine_id: str, typed: TypedForm
) -> Response:
    """A team owns the routine: who leads it is an owner, its members stand as chosen."""
    team_id = typed.text("team")
    if team_id not in {each.id for each in teams_of(session, person.id)}:
        raise InvalidInput.of("team", "Choose one of your teams.")
    give_to_team(session, routine_id, team_id, share_from(typed)[0])
    return see(_place(routine_id))


@router.post("/team/end")
def post_team_end(
    session: WriteSession, bus: HeldBus, person: HeldSignedIn, now_ms: NowMs, routine_id: str
) -> Response:
    """The team owns it no longer; who says so does."""
    found = team_of(session, routine_id)
    if found is None:
        raise Conflict("No team owns this routine.")
    take_from_team(session, routine_id, person.id, now_ms)
    for member in found[0].members:
        shut_out(session, bus, routine_id, member.person_id, now_ms)
    return see(_place(routine_id))


@router.post("/{person_id}")
def post_change(
    sent: Sent,
    bus: HeldBus,
    person: HeldSignedIn,
    now_ms: NowMs,
    routine_id: str,
    person_id: str,
) -> Response:
    """How somebody stands from now on; also the way back of one who was just taken away."""

    def change(session: Session) -> str:
        load_person(session, person_id)
        known = {each.person_id: each for each in sharers_of(session, routine_id)}
        if each := known.get(person_id):
            sent.merged(share_values(each.standing, hears=each.hears))
        standing, hears = share_from(sent.typed)
        give_share(session, routine_id, person_id, standing, now_ms, hears=hears)
        shut_out(session, bus, routine_id, person_id, now_ms)
        return _place(routine_id)

    def again(session: Session, form: Form) -> Page:
        asked = SharesAsked(edit=person_id)
        return shares_page_of(session, routine_id, person, asked, changing=form)

    return sent.save(change, again)


@router.post("/{person_id}/take")
def post_take(
    session: WriteSession,
    bus: HeldBus,
    now_ms: NowMs,
    routine_id: str,
    person_id: str,
) -> Response:
    taken = take_share(session, routine_id, person_id)
    shut_out(session, bus, routine_id, person_id, now_ms)
    heard = "&heard=yes" if taken.hears else ""
    return see(f"{_place(routine_id)}?taken={person_id}&stood={taken.standing}{heard}")


def shut_out(session: Session, bus: LiveBus, routine_id: str, person_id: str, now_ms: int) -> None:
    """Close what a person follows of a routine, where they may follow it no longer."""
    if "follow" in grants_on(session, person_id, routine_id):
        return
    key = key_of_person(person_id)
    for run_id in end_passes(session, routine_id, person_id, now_ms):
        bus.end_pass_with(session, run_id, key)


def share_from(typed: Typed) -> tuple[Standing, bool]:
    """How somebody is to stand, as a form says; raises InvalidInput."""
    standing = next((each for each in STANDINGS if each == typed.text("standing")), None)
    if standing is None:
        raise InvalidInput.of("standing", "Choose what they may do.")
    return standing, typed.ticked("hears")


def person_found(session: Session, typed: Typed, otherwise: str = BY_LINK) -> Person:
    """Whom a form names by what they sign in by; `otherwise` is the way for one without an account.

    Raises InvalidInput.
    """
    if not typed.text("sign_in"):
        raise InvalidInput.of("sign_in", "Give the name they sign in by.")
    found = person_by_sign_in(session, typed.text("sign_in"))
    if found is None or found.ended_ms is not None:
        raise InvalidInput.of("sign_in", f"{UNKNOWN} {otherwise}")
    return found


def _place(routine_id: str) -> str:
    return f"/routines/{routine_id}/people"
