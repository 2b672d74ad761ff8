"""Passkeys: made, used to sign in, and removed. The browser's half is `static/js/people`."""

import json
from typing import Annotated, Any

from fastapi import APIRouter, Body, Request, Response
from fastapi.responses import JSONResponse
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import InvalidInput
from server.store.database import Database
from server.store.people.challenges import CHALLENGE_LASTS_MS, put_challenge, take_challenge
from server.store.people.passkeys import (
    Passkey,
    add_passkey,
    find_passkey,
    note_signed,
    passkeys_of,
    remove_passkey,
)
from server.store.people.persons import find_person
from server.web.frame.cookies import cookie_of, keep
from server.web.frame.dependencies import HeldDatabase, NowMs, WriteSession
from server.web.frame.door import HeldAsker
from server.web.frame.forms import Typed
from server.web.frame.render import see
from server.web.people.account import confirmed
from server.web.people.hashing import HeldHashing
from server.web.people.proofs import (
    REFUSED,
    PasskeyAsk,
    ask_for_new,
    ask_for_one,
    new_passkey,
    signed_by,
    site_of,
)
from server.web.people.signed_in import ONLY_WITH_PEOPLE, Arrives, SignedInPerson, own_path

router = APIRouter(dependencies=[ONLY_WITH_PEOPLE])

ASKED = "ninefifty-asked"
"""The cookie with the key to what this browser was asked."""

MAKE, SIGN = "passkey-new", "passkey-sign-in"
LATE = "This took too long, or was answered already. Begin again."

Sent = Annotated[dict[str, Any], Body()]


@router.post("/api/passkeys/begin")
async def post_begin(
    request: Request,
    held: HeldDatabase,
    asker: HeldAsker,
    person: SignedInPerson,
    now_ms: NowMs,
    sent: Sent,
    hashing: HeldHashing,
) -> Response:
    site = site_of(request)
    typed = Typed({"present": str(sent.get("present", ""))})
    await confirmed(request, held, asker, person, typed, hashing, now_ms)

    def ask() -> Response:
        with held.reading() as session:
            asked = ask_for_new(site, person, passkeys_of(session, person.id))
        return _answer(request, held, MAKE, asked, person.id, now_ms)

    return await run_in_threadpool(ask)


@router.post("/api/passkeys")
def post_passkey(
    request: Request,
    held: HeldDatabase,
    person: SignedInPerson,
    now_ms: NowMs,
    sent: Sent,
) -> Response:
    challenge = _taken(request, held, MAKE, now_ms, person.id)
    name = str(sent.get("name", "")).strip()
    made = new_passkey(site_of(request), _credential(sent), challenge, person.id, name, now_ms)
    with held.writing() as session:
        add_passkey(session, made)
    return JSONResponse({"to": "/account"})


@router.post("/account/passkeys/{passkey_id}/remove")
def post_remove(session: WriteSession, person: SignedInPerson, passkey_id: str) -> Response:
    remove_passkey(session, person.id, passkey_id)
    return see("/account")


@router.post("/api/sign-in/begin")
def post_sign_in_begin(request: Request, held: HeldDatabase, now_ms: NowMs) -> Response:
    return _answer(request, held, SIGN, ask_for_one(site_of(request)), "", now_ms)


@router.post("/api/sign-in/passkey")
async def post_sign_in(request: Request, arriving: Arrives, sent: Sent) -> Response:
    held, now_ms = arriving.held, arriving.now_ms
    passkey, signs = await run_in_threadpool(_proved, request, held, sent, now_ms)

    def decide(session: Session) -> str:
        # Meanwhile it may have been removed, or have signed elsewhere, or its account be ended.
        if find_passkey(session, passkey.id) != passkey:
            raise InvalidInput.of("", REFUSED)
        if find_person(session, passkey.person_id) is None:
            raise InvalidInput.of("", REFUSED)
        note_signed(session, passkey.id, signs, now_ms)
        return passkey.person_id

    led = await arriving.sign_in(decide)
    answer = JSONResponse({"to": own_path(str(sent.get("to", "/")))})
    for cookie in led.headers.getlist("set-cookie"):
        answer.headers.append("set-cookie", cookie)
    return answer


def _proved(
    request: Request, held: Database, sent: dict[str, Any], now_ms: int
) -> tuple[Passkey, int]:
    """The passkey that signed, and how often it has. Raises InvalidInput."""
    challenge = _taken(request, held, SIGN, now_ms, "")
    credential = _credential(sent)
    with held.reading() as session:
        passkey = find_passkey(session, str(credential.get("id", "")))
    if passkey is None:
        raise InvalidInput.of("", REFUSED)
    return passkey, signed_by(site_of(request), credential, challenge, passkey)


def _answer(
    request: Request, held: Database, purpose: str, asked: PasskeyAsk, person_id: str, now_ms: int
) -> Response:
    kept = json.dumps({"challenge": asked.challenge, "person": person_id})
    with held.writing() as session:
        key = put_challenge(session, purpose, kept, now_ms)
    answer = JSONResponse(asked.options)
    keep(request, answer, ASKED, key, CHALLENGE_LASTS_MS // 1000)
    return answer


def _taken(request: Request, held: Database, purpose: str, now_ms: int, person_id: str) -> str:
    """The challenge that this browser was given, once. Raises InvalidInput."""
    with held.writing() as session:
        kept = take_challenge(session, cookie_of(request, ASKED), purpose, now_ms)
    read = json.loads(kept) if kept else {}
    if read.get("person") != person_id:
        raise InvalidInput.of("", LATE)
    return str(read["challenge"])


def _credential(sent: dict[str, Any]) -> dict[str, Any]:
    credential = sent.get("credential")
    if not isinstance(credential, dict):
        raise InvalidInput.of("", REFUSED)
    return credential
