"""Passwords held against what is kept of them: beside the loop, and few at a time.

Each takes 64 MB and a tenth of a second of a processor: many at once would leave nothing for marks.
"""

from typing import TYPE_CHECKING, Annotated

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from fastapi import Depends, Request

if TYPE_CHECKING:
    from server.store.people.passwords import Credentials

AT_ONCE = 2


class Hashing:
    """Where passwords are hashed, in turns."""

    def __init__(self) -> None:
        self._turns = CapacityLimiter(AT_ONCE)

    # What hashes is loaded with the first password: every start makes the turns.

    async def fits(self, credentials: "Credentials", password: str) -> bool:
        """Whether a password is the one."""
        from server.store.people.passwords import fits

        return await run_sync(fits, credentials, password, limiter=self._turns)

    async def hashed(self, password: str) -> str:
        """What is kept of a password."""
        from server.store.people.passwords import hashed

        return await run_sync(hashed, password, limiter=self._turns)


async def _hashing(request: Request) -> Hashing:
    held: Hashing = request.app.state.hashing
    return held


HeldHashing = Annotated[Hashing, Depends(_hashing)]
