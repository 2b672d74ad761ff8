"""Who asks, and whether they may have what they ask for: the door that every route stands behind.

A browser on this machine itself is the owner's, and so is whoever shows the secret of a device in
a cookie; `rights` says what each address asks for. With `--open` everybody is the owner.
"""

import logging
import secrets
import time
from collections import OrderedDict
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from hmac import compare_digest
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends, Request
from fastapi.concurrency import run_in_threadpool

from server.domain.base.errors import NotAdmitted, NotAllowed, NotSignedIn
from server.domain.base.rights import Need, may
from server.domain.people.person import Person
from server.store.between.notices import Notices, OwnNotices
from server.store.database import Database
from server.store.devices import Device, device_with, hash_of, note_use
from server.web.frame.access import need_of
from server.web.frame.cookies import tokens_of
from server.web.frame.dependencies import NowMs, now_for
from server.web.frame.offered.asker import NOTE_USE_EVERY_MS
from server.web.frame.offered.asker import Asker as Asker  # others know it from here
from server.web.frame.offered.guests import tastes, watches
from server.web.frame.offered.links import asking
from server.web.frame.reach import is_here

if TYPE_CHECKING:
    from server.web.frame.grants import SignIns

_log = logging.getLogger(__name__)

HERE = "here"
"""The key of all browsers on this machine itself."""
BY_ITSELF = "ninefifty.by_itself"
"""In the scope of what the app asks itself after its start; a request from outside sets none."""

MOST_KNOWN = 1000
DEVICES = "devices"
TRUSTED_S = 5.0
"""So long a device is known unasked, where another process may die before it tells of a change."""

SHUT = "This device is not let in. What it marked stays on it and is sent once it is."
SIGNED_OUT = "You are not signed in: sign in on another page, and what this device marked is sent."
FIRST = "Make the first account: until then nothing is shown."
MAKES_FIRST = "/first-account"
HELPS_ONLY = (
    "This device is let in as a helper: it may look, rehearse and watch. All else is done on the "
    "owner’s."
)


class Door:
    """What the app knows of who may come in, beside what the database keeps."""

    def __init__(self, *, is_open: bool, trusts_here: bool, knows_people: bool = False) -> None:
        self.is_open = is_open
        self.trusts_here = trusts_here
        # None where people have no accounts.
        self.sign_ins = _sign_ins() if knows_people else None
        # In the address that the terminal prints. It is good until the app stops.
        self.link_secret = secrets.token_urlsafe(16)
        # Hash of its secret -> device and when it was asked about: a page need not ask anew.
        self._known: OrderedDict[str, tuple[Device, float]] = OrderedDict()
        self.changes = 0
        self._notices: Notices = OwnNotices()
        self._notes = _notes()

    def join(self, notices: Notices) -> None:
        """Hear from the other processes when they let a device in or take one out."""
        self._notices = notices
        if self.sign_ins is not None and notices.is_shared:
            self.sign_ins.trusted_s = TRUSTED_S
        notices.hear(DEVICES, lambda _: self._forget())
        notices.after_gap(self._forget)

    def note_soon(self, held: Database, device: Device, now_ms: int) -> None:
        """Remember when a device was used, without keeping it waiting."""
        self._notes.submit(_note, held, device, now_ms)

    def end(self) -> None:
        """Wait for what is still to be noted: the database is closed after that."""
        notes, self._notes = self._notes, _notes()
        notes.shutdown()

    def has_people(self, held: Database) -> bool:
        """Whether people have accounts here, and there is one already."""
        return self.sign_ins is not None and self.sign_ins.have_begun(held)

    def opens_to(self, secret: str) -> bool:
        """Whether a secret is that of the link in the terminal."""
        return compare_digest(secret.encode(), self.link_secret.encode())

    def known(self, token: str) -> Device | None:
        """The device with this secret, if it came lately."""
        device, asked_s = self._known.get(hash_of(token), (None, 0.0))
        is_old = self._notices.is_shared and time.monotonic() - asked_s > TRUSTED_S
        return None if is_old else device

    def learn(self, token: str, device: Device, changes: int) -> None:
        """Remember a device that the database knew when there had been so many changes."""
        if changes != self.changes:
            return
        self._known[hash_of(token)] = device, time.monotonic()
        while len(self._known) > MOST_KNOWN:
            self._known.popitem(last=False)

    def forget(self) -> None:
        """Ask the database about every device anew, in all processes: one of them changed."""
        self._forget()
        self._notices.say(DEVICES)

    def _forget(self) -> None:
        self.changes += 1
        self._known.clear()


async def held_door(request: Request) -> Door:
    """The door of this app."""
    door: Door = request.app.state.door
    return door


HeldDoor = Annotated[Door, Depends(held_door)]


async def _asker(request: Request, now_ms: NowMs) -> Asker:
    if BY_ITSELF in request.scope:
        return Asker("mine", HERE)
    # Taken from the app, not asked for one by one: every request comes through here.
    door: Door = request.app.state.door
    held: Database = request.app.state.database
    asker = await _let_in(request, door, held, now_ms)
    if door.sign_ins is None:
        return asker
    if not await door.sign_ins.are_some(held):
        return replace(asker, is_first=asker.role == "mine")
    return await _person(request, door, door.sign_ins, held, now_ms, asker)


async def _person(
    request: Request, door: Door, sign_ins: "SignIns", held: Database, now_ms: int, asker: Asker
) -> Asker:
    """Who asks where people have accounts: what was let in before them opens nothing now."""
    from server.store.sharing.passes import is_of_another
    from server.web.frame.grants import grants_for

    signed_in = await sign_ins.find(request, held, now_ms, door.changes)
    if signed_in is None:
        watcher = await watches(request, held, now_ms)
        watcher = None if watcher is None or is_of_another(watcher, None) else watcher
        key = watcher.key if watcher else ""
        return replace(asker, role=None, key=key, device=None, watcher=watcher, must_sign_in=True)
    device = signed_in.device
    if now_ms - device.used_ms >= NOTE_USE_EVERY_MS:
        door.note_soon(held, device, now_ms)
    keys, person = asker.keys | {device.key}, signed_in.person
    watcher = await watches(request, held, now_ms)
    watcher = None if watcher is None or is_of_another(watcher, person) else watcher
    grants = await run_in_threadpool(grants_for, held, person, request.path_params, now_ms)
    if watcher is None or grants.allow("present"):
        return Asker("mine", device.key, device, None, keys, asker.taster, person, grants=grants)
    # Whoever only watches writes as one who watches, not as one who presents.
    keys = keys | {watcher.key}
    return Asker(None, watcher.key, device, watcher, keys, asker.taster, person, grants=grants)


async def _let_in(request: Request, door: Door, held: Database, now_ms: int) -> Asker:
    """Who asks by the rule of the owner's devices."""
    shows = bool(request.cookies)  # Else there is nothing to look up.
    device = await _device(request, door, held, now_ms) if shows else None
    taster = await tastes(request, held, now_ms) if shows else None
    if door.is_open:
        return Asker("mine", device=device, taster=taster)
    watcher = await watches(request, held, now_ms) if shows else None
    is_owners = door.trusts_here and is_here(request)
    found = (device and device.key, is_owners and HERE, watcher and watcher.key)
    keys = [key for key in found if key]
    role = "mine" if is_owners else device.role if device else None
    asked_by_watcher = watcher if role is None else None
    return Asker(role, keys[0] if keys else "", device, asked_by_watcher, frozenset(keys), taster)


async def _who_asks(request: Request) -> Asker:
    # The door has found out, before anything else of a route is asked for.
    asker: Asker = request.state.asker
    return asker


HeldAsker = Annotated[Asker, Depends(_who_asks)]


async def _signed_in_person(asker: HeldAsker) -> Person | None:
    return asker.person


# Who is signed in; None where nobody is, and where people have no accounts.
HeldPerson = Annotated[Person | None, Depends(_signed_in_person)]


async def require_right(request: Request, asker: Annotated[Asker, Depends(_asker)]) -> None:
    """Raises NotAdmitted where the route is not open to who asks, NotAllowed to a helper, and to a
    person NotFound for what is not shared with them."""
    request.state.asker = asker
    asking.set(asker)  # Pages leave out what who asks may not do.
    need: Need = need_of(request.method, request.scope["route"].path)
    if asker.is_first and need != "anyone" and _looks(request):
        raise NotSignedIn(FIRST, is_first=True)
    has_run, has_tasting = asker.watcher is not None, asker.taster is not None
    if asker.person is not None:
        passes = has_run if need == "watch" else has_tasting and need == "taste"
        if not passes:
            from server.web.frame.grants import require_of_person

            database = request.app.state.database
            await require_of_person(request, database, need, asker.person, asker.grants)
        return
    if may(need, asker.role, watches=has_run, tastes=has_tasting):
        return
    if asker.role is None:
        raise NotSignedIn(SIGNED_OUT) if asker.must_sign_in else NotAdmitted(SHUT)
    raise NotAllowed(HELPS_ONLY)


async def come_in(request: Request) -> Asker:
    """Who asks for what FastAPI hands nothing. Raises what `require_right` raises."""
    asker = await _asker(request, now_for(request))
    await require_right(request, asker)
    return asker


def _looks(request: Request) -> bool:
    """Whether a page is asked for that may be led elsewhere: nothing that is typed or marked."""
    is_page = request.method == "GET" and "hx-request" not in request.headers
    path = request.url.path
    return is_page and path != MAKES_FIRST and not path.startswith(("/api/", "/static/"))


async def _device(request: Request, door: Door, held: Database, now_ms: int) -> Device | None:
    for token in tokens_of(request):
        changes = door.changes
        device = door.known(token)
        if device is None:
            device = await run_in_threadpool(_stored, held, token)
        if device is not None:
            is_due = now_ms - device.used_ms >= NOTE_USE_EVERY_MS
            door.learn(token, replace(device, used_ms=now_ms) if is_due else device, changes)
            if is_due:
                door.note_soon(held, device, now_ms)
            return device
    return None


def _sign_ins() -> "SignIns":
    # Loaded here and above where people have accounts alone: no start waits for their tables.
    from server.web.frame.grants import SignIns

    return SignIns()


def _notes() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(1, "when devices were used")


def _note(held: Database, device: Device, now_ms: int) -> None:
    """Remember when a device was used."""
    try:
        with held.writing() as session:
            note_use(session, device.key, now_ms)
    except Exception:
        _log.exception("When a device was used could not be kept.")


def _stored(held: Database, token: str) -> Device | None:
    with held.reading() as session:
        return device_with(session, token)
