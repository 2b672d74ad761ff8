"""Passwords held against what is kept of them: beside the loop, and few at a time.

Each takes 64 MB and a tenth of a second of a processor: many at once would leave nothing for marks.
"""

from typing import Annotated

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from fastapi import Depends, Request

from server.store.people.passwords import Credentials, fits, hashed

AT_ONCE = 2


class Hashing:
    """Where passwords are hashed, in turns."""

    def __init__(self) -> None:
        self._turns = CapacityLimiter(AT_ONCE)

    async def fits(self, credentials: Credentials, password: str) -> bool:
        """Whether a password is the one."""
        return await run_sync(fits, credentials, password, limiter=self._turns)

    async def hashed(self, password: str) -> str:
        """What is kept of a password."""
        return await run_sync(hashed, password, limiter=self._turns)


async def _hashing(request: Request) -> Hashing:
    held: Hashing = request.app.state.hashing
    return held


HeldHashing = Annotated[Hashing, Depends(_hashing)]
