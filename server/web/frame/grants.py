"""What who is signed in may have of the routine, rule sheet or team that an address is about.

Who that is, and what is known of it between two requests, stands here too (`SignIns`).
What is not shared with them answers as what is not there at all: nothing tells one from the other.
Loaded where people have accounts alone, with the tables of people and of what they share.
"""

import math
import time
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import replace

from fastapi import Request
from fastapi.concurrency import run_in_threadpool
from sqlmodel import Session

from server.domain.base.errors import NotAdmitted, NotAllowed, NotFound
from server.domain.base.rights import Need
from server.domain.base.standings import EVERYTHING, Ask
from server.domain.people.person import Person
from server.store.database import Database
from server.store.devices import hash_of
from server.store.people.persons import has_people
from server.store.people.sign_ins import SignedIn, is_over, signed_in_with
from server.store.sharing.belonging import OWNED, routine_of
from server.store.sharing.shares import grants_on, routines_for
from server.store.sharing.sheets import holder_of, sheets_to_change, sheets_to_read
from server.store.sharing.teams import load_team
from server.store.watchers import is_open
from server.web.frame.access import ask_of
from server.web.frame.cookies import person_tokens_of
from server.web.frame.offered.asker import NOT_HERE, NOTE_USE_EVERY_MS, Grants

ADMINS = "Only an admin may do this."
MAY_NOT = "You may not do this with the routine: its owner says who may. Nothing was changed."
MAY_NOT_SEE = "This part of the routine is not open to you: its owner says who may see it."
NOT_OPEN = "This is not open to you. Ask the presenter for the code."
NEW = "new"
MOST_KNOWN = 1000


def grants_for(held: Database, person: Person, ids: Mapping[str, str], now_ms: int) -> Grants:
    """What a person may have of what the ids in an address name."""
    if not ids.keys() & OWNED.keys():
        return Grants()
    with held.reading() as session:
        routine_id = routine_of(session, ids)
        if routine_id is None:
            return Grants()
        run_id = ids.get("run_id")
        return Grants(
            routine_id,
            grants_on(session, person.id, routine_id),
            is_open=run_id is not None and is_open(session, run_id, now_ms),
        )


async def require_of_person(
    request: Request, held: Database, need: Need, person: Person, grants: Grants
) -> None:
    """Raises NotFound for what is not shared with a person, NotAllowed for what they may not do.

    The page to watch a run leads whoever may not to the code instead, as ever.
    """
    ask = ask_of(request.method, request.scope["route"].path)
    if need == "anyone" or ask == "person":
        return
    if need == "taste":
        raise NotAdmitted(NOT_OPEN)
    if ask in EVERYTHING:
        _require_granted(ask, need, grants, looks=request.method == "GET")
        return
    if ask == "admin" and not person.is_admin:
        raise NotAllowed(ADMINS)
    await run_in_threadpool(_require_other, held, ask, person, request.path_params)


def _require_other(held: Database, ask: Ask, person: Person, ids: Mapping[str, str]) -> None:
    with held.reading() as session:
        if ask in ("sheet", "sheet-edit"):
            _require_sheet(session, ask, person, ids["sheet_id"])
        if ask in ("team", "lead"):
            _require_team(session, ask, person, ids["team_id"])


def _require_granted(ask: Ask, need: Need, grants: Grants, *, looks: bool) -> None:
    # Marks of a run that is not here make it: `own_names.require_may_begin` looks at those.
    if grants.allow(ask) or (ask == "send" and grants.routine_id is None):
        return
    if need == "watch" and ask != "send":
        raise NotAdmitted(NOT_OPEN)
    if not grants.asks:
        raise NotFound(NOT_HERE)
    raise NotAllowed(MAY_NOT_SEE if looks else MAY_NOT)


def _require_sheet(session: Session, ask: Ask, person: Person, sheet_id: str) -> None:
    if sheet_id == NEW:
        return
    try:
        holder = holder_of(session, sheet_id)
    except NotFound:
        raise NotFound(NOT_HERE) from None
    if sheet_id in sheets_to_change(session, person.id):
        return
    if holder == (None, None):
        # It came with the app: everybody's to read.
        if ask == "sheet" or person.is_admin:
            return
        raise NotAllowed("This rule sheet came with the app: make a copy, and change that.")
    shown = routines_for(session, person.id, "show")
    if sheet_id not in sheets_to_read(session, person.id, shown):
        raise NotFound(NOT_HERE)
    if ask == "sheet-edit":
        raise NotAllowed("Only whose rule sheet it is may change it: make a copy of your own.")


def _require_team(session: Session, ask: Ask, person: Person, team_id: str) -> None:
    try:
        team = load_team(session, team_id)
    except NotFound:
        raise NotFound(NOT_HERE) from None
    if not team.has(person.id):
        raise NotFound(NOT_HERE)
    if ask == "lead" and not team.is_led_by(person.id):
        raise NotAllowed("Only who leads the team may do this.")


class SignIns:
    """What the app knows of who is signed in, beside what the database keeps."""

    def __init__(self) -> None:
        # Hash of its secret -> how many changes there had been, when it was asked about, who it is.
        self._known: OrderedDict[str, tuple[int, float, SignedIn]] = OrderedDict()
        self._are_some = False
        self.trusted_s = math.inf
        """So long who is signed in is known without asking; others may end it unheard."""

    async def find(
        self, request: Request, held: Database, now_ms: int, changes: int
    ) -> SignedIn | None:
        """Who asks; `changes` counts what may have ended what was known.

        From here on it is taken as used now: where that is due, the caller keeps it.
        """
        for token in person_tokens_of(request):
            at, asked_s, known = self._known.get(hash_of(token), (-1, 0.0, None))
            is_old = at != changes or time.monotonic() - asked_s > self.trusted_s
            if known is None or is_old or is_over(known.device, now_ms):
                asked_s = time.monotonic()
                known = await run_in_threadpool(_stored, held, token, now_ms)
            if known is not None:
                is_due = now_ms - known.device.used_ms >= NOTE_USE_EVERY_MS
                used = replace(known.device, used_ms=now_ms) if is_due else known.device
                self._learn(token, SignedIn(used, known.person), changes, asked_s)
                return known
        return None

    def _learn(self, token: str, signed_in: SignedIn, changes: int, asked_s: float) -> None:
        self._known[hash_of(token)] = changes, asked_s, signed_in
        self._known.move_to_end(hash_of(token))
        while len(self._known) > MOST_KNOWN:
            self._known.popitem(last=False)

    async def are_some(self, held: Database) -> bool:
        """Whether anybody has an account yet: before, the owner's devices are let in as ever."""
        return self._are_some or await run_in_threadpool(self.have_begun, held)

    def have_begun(self, held: Database) -> bool:
        """The same, where one may wait for the database."""
        if not self._are_some:
            with held.reading() as session:
                self._are_some = has_people(session)
        return self._are_some


def _stored(held: Database, token: str, now_ms: int) -> SignedIn | None:
    with held.reading() as session:
        return signed_in_with(session, token, now_ms)
