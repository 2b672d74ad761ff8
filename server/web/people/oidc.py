"""Signing in by an organisation's own sign-in: there, and back again."""

import json
from contextlib import suppress
from hmac import compare_digest
from typing import Annotated, Any

from fastapi import APIRouter, Body, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import Conflict, Fault, Gone, InvalidInput, NotFound
from server.domain.base.text import LINE
from server.domain.people.person import LONGEST_SIGN_IN, Person
from server.settings import Settings
from server.store.database import Database
from server.store.people.challenges import CHALLENGE_LASTS_MS, put_challenge, take_challenge
from server.store.people.identities import know_as, person_known_as
from server.store.people.invitations import (
    PersonInvitation,
    accept_invitation,
    invitation_with,
)
from server.store.people.persons import find_person, has_people, make_person, person_by_sign_in
from server.web.frame.cookies import cookie_of, keep
from server.web.frame.dependencies import HeldDatabase, NowMs
from server.web.frame.door import HeldAsker, HeldPerson
from server.web.frame.forms import Form, Typed
from server.web.frame.render import see
from server.web.people.account import TIE, account_page, confirmed
from server.web.people.hashing import HeldHashing
from server.web.people.invited import INVITED
from server.web.people.provider import REFUSED, Begun, Identity, Provider
from server.web.people.sign_in import sign_in_page
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives, SignedInPerson, own_path

router = APIRouter(dependencies=[ONLY_WITH_PEOPLE])

BEGUN = "ninefifty-begun"
"""The cookie with the key to what was begun in this browser."""

PURPOSE = "oidc"
TURNED_BACK = (
    "You were not signed in there: it was refused, or you turned back. Try again, or sign in "
    "another way."
)
NOT_INVITED = (
    "Your organisation knows you, but nobody here has invited you. Ask for an invitation, open "
    "its link, and sign in from there."
)
ENDED = "Your account here is ended. An admin can give it back."


def _provider(request: Request) -> Provider:
    provider: Provider | None = request.app.state.oidc
    if provider is None:
        raise NotFound("No organisation’s sign-in is set here.")
    return provider


@router.get("/sign-in/oidc")
async def get_begin(
    request: Request, held: HeldDatabase, now_ms: NowMs, to: str = "/", invited: str = ""
) -> Response:
    # An invitation counts only on the way on from its own page: who else begins here within the
    # half hour that its cookie lasts is not who was invited.
    secret = cookie_of(request, INVITED) if invited else ""
    try:
        url, key = await _begin(request, held, now_ms, {"to": own_path(to), "invited": secret})
    except InvalidInput as error:
        return await run_in_threadpool(_refused, request, error.faults, own_path(to))
    answer = RedirectResponse(url, 303)
    keep(request, answer, BEGUN, key, CHALLENGE_LASTS_MS // 1000)
    return answer


@router.post("/api/organisation/tie")
async def post_tie(
    request: Request,
    held: HeldDatabase,
    asker: HeldAsker,
    person: SignedInPerson,
    now_ms: NowMs,
    sent: Annotated[dict[str, Any], Body()],
    hashing: HeldHashing,
) -> Response:
    """Begin to tie it to one's account, as one makes a passkey: by the password as it is now."""
    typed = Typed({"present": str(sent.get("present", ""))})
    await confirmed(request, held, asker, person, typed, hashing, now_ms)
    url, key = await _begin(request, held, now_ms, {"person": person.id})
    answer = JSONResponse({"to": url})
    keep(request, answer, BEGUN, key, CHALLENGE_LASTS_MS // 1000)
    return answer


@router.get("/sign-in/oidc/back")
async def get_back(
    request: Request,
    arriving: Arrives,
    own: HeldPerson,
    code: str = "",
    state: str = "",
    error: str = "",
) -> Response:
    held, now_ms = arriving.held, arriving.now_ms
    kept: dict[str, str] = {}
    try:
        kept = await run_in_threadpool(_take, held, cookie_of(request, BEGUN), now_ms)
        if not compare_digest(kept["state"].encode(), state.encode()):
            raise InvalidInput.of("", REFUSED)
        if error or not code:
            raise InvalidInput.of("", TURNED_BACK)
        begun = Begun("", kept["state"], kept["nonce"], kept["verifier"])
        provider = _provider(request)
        known = await provider.identity(begun, code, _back_to(request), now_ms // 1000)
        if "person" in kept:
            await run_in_threadpool(_tie, held, known, kept["person"], own)
            return see("/account")
        settings: Settings = request.app.state.settings

        def decide(session: Session) -> str:
            return _person_of(session, known, kept["invited"], settings, now_ms)

        return await arriving.sign_in(decide, kept["to"])
    except InvalidInput as fault:
        if own is not None and "person" in kept:
            form = Form({}, fault.faults)
            return await run_in_threadpool(
                account_page, request, held, arriving.asker, own, now_ms, TIE, form, 422
            )
        return await run_in_threadpool(_refused, request, fault.faults, kept.get("to", "/"))


async def _begin(
    request: Request, held: Database, now_ms: int, more: dict[str, str]
) -> tuple[str, str]:
    """Where this browser is sent, and the key to what was begun. Raises InvalidInput."""
    begun = await _provider(request).begin(_back_to(request))
    kept = {"state": begun.state, "nonce": begun.nonce, "verifier": begun.verifier, **more}
    return begun.url, await run_in_threadpool(_put, held, json.dumps(kept), now_ms)


def _tie(held: Database, known: Identity, person_id: str, own: Person | None) -> None:
    """Who began it, and is signed in still, comes in by this identity too. Raises InvalidInput."""
    if own is None or own.id != person_id:
        raise InvalidInput.of("", REFUSED)
    try:
        with held.writing() as session:
            know_as(session, known.issuer, known.subject, person_id)
    except Conflict as error:
        raise InvalidInput.of("", error.message) from error


def _person_of(
    session: Session, known: Identity, secret: str, settings: Settings, now_ms: int
) -> str:
    """Who comes in by an identity: known already, invited, or everybody's.

    Never whoever is signed in in this browser: at a tablet that many use that is somebody else.
    """
    person_id = person_known_as(session, known.issuer, known.subject)
    invitation = _invitation(session, secret, now_ms)
    if person_id is not None:
        person = find_person(session, person_id)
        if person is None:
            raise InvalidInput.of("", ENDED)
        if invitation is not None and invitation.document is not None:
            # What it brings is theirs, unless they have more of it already.
            with suppress(Conflict), session.begin_nested():
                accept_invitation(session, secret, person, now_ms)
        return person_id
    if not has_people(session) or (invitation is None and not settings.oidc_all):
        # The first account, which is the admin's, is made on the spot.
        raise InvalidInput.of("", NOT_INVITED)
    person = make_person(session, known.name[:LINE], _free(session, known.sign_in), now_ms)
    know_as(session, known.issuer, known.subject, person.id)
    if invitation is not None:
        accept_invitation(session, secret, person, now_ms)
    return person.id


def _invitation(session: Session, secret: str, now_ms: int) -> PersonInvitation | None:
    try:
        return invitation_with(session, secret, now_ms)
    except Gone:
        return None


def _free(session: Session, sign_in: str) -> str:
    """A name to sign in by that nobody has: who has this one already is not who comes."""
    base = "".join(sign for sign in sign_in if sign.isprintable())[: LONGEST_SIGN_IN - 6] or "guest"
    names = (base, *(f"{base}-{count}" for count in range(2, 10_000)))
    return next(name for name in names if person_by_sign_in(session, name) is None)


def _put(held: Database, kept: str, now_ms: int) -> str:
    with held.writing() as session:
        return put_challenge(session, PURPOSE, kept, now_ms)


def _take(held: Database, key: str, now_ms: int) -> dict[str, str]:
    """What was begun in this browser, once. Raises InvalidInput."""
    with held.writing() as session:
        kept = take_challenge(session, key, PURPOSE, now_ms)
    if kept is None:
        raise InvalidInput.of("", REFUSED)
    read: dict[str, str] = json.loads(kept)
    return read


def _refused(request: Request, faults: tuple[Fault, ...], to: str) -> Response:
    return sign_in_page(request, Form({"sign_in": "", "to": to}, faults), 422)


def _back_to(request: Request) -> str:
    settings: Settings = request.app.state.settings
    base = settings.public_url or f"{request.url.scheme}://{request.url.netloc}"
    return f"{base}/sign-in/oidc/back"
