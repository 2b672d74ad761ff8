"""Signing in by an organisation's own sign-in: there, and back again."""

import json
from hmac import compare_digest

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import Fault, Gone, InvalidInput, NotFound
from server.domain.base.text import LINE
from server.domain.people.person import LONGEST_SIGN_IN
from server.settings import Settings
from server.store.database import Database
from server.store.people.challenges import CHALLENGE_LASTS_MS, put_challenge, take_challenge
from server.store.people.identities import know_as, person_known_as
from server.store.people.invitations import accept_invitation, invitation_with
from server.store.people.persons import find_person, has_people, make_person, person_by_sign_in
from server.web.frame.cookies import cookie_of, keep
from server.web.frame.dependencies import HeldDatabase, NowMs
from server.web.frame.door import HeldPerson
from server.web.frame.forms import Form
from server.web.people.invited import INVITED
from server.web.people.provider import REFUSED, Begun, Identity, Provider
from server.web.people.sign_in import sign_in_page
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives, own_path

router = APIRouter(prefix="/sign-in/oidc", dependencies=[ONLY_WITH_PEOPLE])

BEGUN = "ninefifty-begun"
"""The cookie with the key to what was begun in this browser."""

PURPOSE = "oidc"
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


@router.get("")
async def get_begin(
    request: Request, held: HeldDatabase, person: HeldPerson, now_ms: NowMs, to: str = "/"
) -> Response:
    try:
        begun = await _provider(request).begin(_back_to(request))
    except InvalidInput as error:
        return await run_in_threadpool(_refused, request, error.faults)
    kept = {
        "state": begun.state, "nonce": begun.nonce, "verifier": begun.verifier,
        "to": own_path(to), "person": person.id if person else "",
    }  # fmt: skip
    key = await run_in_threadpool(_put, held, json.dumps(kept), now_ms)
    answer = RedirectResponse(begun.url, 303)
    keep(request, answer, BEGUN, key, CHALLENGE_LASTS_MS // 1000)
    return answer


@router.get("/back")
async def get_back(
    request: Request, arriving: Arrives, code: str = "", state: str = ""
) -> Response:
    provider, held, now_ms = _provider(request), arriving.held, arriving.now_ms
    try:
        kept = await run_in_threadpool(_take, held, cookie_of(request, BEGUN), now_ms)
        if not compare_digest(kept.get("state", "").encode(), state.encode()) or not code:
            raise InvalidInput.of("", REFUSED)
        begun = Begun("", kept["state"], kept["nonce"], kept["verifier"])
        known = await provider.identity(begun, code, _back_to(request), now_ms // 1000)
        secret = cookie_of(request, INVITED)
        settings: Settings = request.app.state.settings

        def decide(session: Session) -> str:
            return _person_of(session, known, kept["person"], secret, settings, now_ms)

        return await arriving.sign_in(decide, kept["to"])
    except InvalidInput as error:
        return await run_in_threadpool(_refused, request, error.faults)


def _person_of(
    session: Session, known: Identity, linked: str, secret: str, settings: Settings, now_ms: int
) -> str:
    """Who comes in by an identity: known, signed in already, invited, or everybody's."""
    person_id = person_known_as(session, known.issuer, known.subject)
    if person_id is None and linked:
        person_id = linked
    if person_id is not None:
        if find_person(session, person_id) is None:
            raise InvalidInput.of("", ENDED)
        know_as(session, known.issuer, known.subject, person_id)
        return person_id
    if not has_people(session) or not (_is_invited(session, secret, now_ms) or settings.oidc_all):
        # The first account, which is the admin's, is made on the spot.
        raise InvalidInput.of("", NOT_INVITED)
    person = make_person(session, known.name[:LINE], _free(session, known.sign_in), now_ms)
    know_as(session, known.issuer, known.subject, person.id)
    if _is_invited(session, secret, now_ms):
        accept_invitation(session, secret, person, now_ms)
    return person.id


def _is_invited(session: Session, secret: str, now_ms: int) -> bool:
    try:
        invitation_with(session, secret, now_ms)
    except Gone:
        return False
    return True


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


def _refused(request: Request, faults: tuple[Fault, ...]) -> Response:
    return sign_in_page(request, Form({"sign_in": "", "to": "/"}, faults), 422)


def _back_to(request: Request) -> str:
    settings: Settings = request.app.state.settings
    base = settings.public_url or f"{request.url.scheme}://{request.url.netloc}"
    return f"{base}/sign-in/oidc/back"
