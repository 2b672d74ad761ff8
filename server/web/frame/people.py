"""Who is signed in, where people have accounts (`NINEFIFTY_PEOPLE`); nobody ever is where not."""

from collections import OrderedDict
from dataclasses import replace

from fastapi import Request
from fastapi.concurrency import run_in_threadpool

from server.store.database import Database
from server.store.devices import hash_of
from server.store.people.persons import has_people
from server.store.people.sign_ins import SignedIn, is_over, signed_in_with
from server.web.frame.cookies import person_tokens_of

MOST_KNOWN = 1000
NOTE_USE_EVERY_MS = 10 * 60_000


class SignIns:
    """What the app knows of who is signed in, beside what the database keeps."""

    def __init__(self) -> None:
        # Hash of its secret -> how many changes there had been, and who it is.
        self._known: OrderedDict[str, tuple[int, SignedIn]] = OrderedDict()
        self._are_some = False

    async def find(
        self, request: Request, held: Database, now_ms: int, changes: int
    ) -> SignedIn | None:
        """Who asks; `changes` counts what may have ended what was known.

        From here on it is taken as used now: where that is due, the caller keeps it.
        """
        for token in person_tokens_of(request):
            at, known = self._known.get(hash_of(token), (-1, None))
            if known is None or at != changes or is_over(known.device, now_ms):
                known = await run_in_threadpool(_stored, held, token, now_ms)
            if known is not None:
                is_due = now_ms - known.device.used_ms >= NOTE_USE_EVERY_MS
                used = replace(known.device, used_ms=now_ms) if is_due else known.device
                self._learn(token, SignedIn(used, known.person), changes)
                return known
        return None

    def _learn(self, token: str, signed_in: SignedIn, changes: int) -> None:
        self._known[hash_of(token)] = changes, signed_in
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
