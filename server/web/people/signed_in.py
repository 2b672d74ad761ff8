"""What all ways of signing in end in: a new secret for this browser, and the page one wanted."""

from collections.abc import Callable
from typing import Annotated

from fastapi import Depends, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import NotAllowed, NotFound
from server.domain.people.person import Person
from server.store.people.sign_ins import SignedIn, sign_in
from server.web.devices.enter import Newcomer, local_path
from server.web.frame.cookies import DEVICE_LASTS_S, keep_person, person_tokens_of
from server.web.frame.door import HeldDoor, HeldPerson
from server.web.frame.grants import ADMINS
from server.web.frame.render import see

OFF = "Nobody has an account here. NINEFIFTY_PEOPLE=yes switches accounts on."

Decide = Callable[[Session], str]
"""In the transaction that signs in: the id of who it is; raises where they may not after all."""


async def _is_on(door: HeldDoor) -> None:
    if door.sign_ins is None:
        raise NotFound(OFF)


ONLY_WITH_PEOPLE = Depends(_is_on)


async def _somebody(person: HeldPerson) -> Person:
    if person is None:
        raise NotFound(OFF)
    return person


async def _admin(person: HeldPerson) -> Person:
    somebody = await _somebody(person)
    if not somebody.is_admin:
        raise NotAllowed(ADMINS)
    return somebody


SignedInPerson = Annotated[Person, Depends(_somebody)]
Admin = Annotated[Person, Depends(_admin)]


class WayIn(Newcomer):
    """A browser whose person is about to be signed in."""

    @property
    def own_key(self) -> str:
        """The key of the device that it is already; "" where nobody was signed in."""
        return self.asker.device.key if self.asker.device else ""

    @property
    def tokens(self) -> list[str]:
        """The secrets by which people were signed in here until now, also those that ended."""
        return person_tokens_of(self.request)

    async def sign_in(self, decide: Decide, to: str = "/") -> Response:
        """Sign somebody in, and lead them to a page of this app."""
        _, token = await run_in_threadpool(self._sign_in, decide)
        answer = see(to)
        # It is kept for longer than it opens: by it a person's own browser is told from others.
        keep_person(self.request, answer, token, DEVICE_LASTS_S)
        return answer

    def _sign_in(self, decide: Decide) -> tuple[SignedIn, str]:
        with self.held.writing() as session:
            person_id = decide(session)
            found = sign_in(session, person_id, self.device_name, self.now_ms, self.tokens)
        # Whoever was signed in here before is so no longer.
        self.door.forget()
        return found


Arrives = Annotated[WayIn, Depends()]


def own_path(typed: str) -> str:
    """Where one wanted to go, if that is a page of this app that one has not come from."""
    path = local_path(typed)
    return "/" if path.startswith(("/sign-", "/first-account", "/recover", "/reset")) else path
