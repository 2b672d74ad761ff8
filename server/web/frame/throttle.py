"""Slows down whoever guesses: a bucket of tries for each address, refilled drop by drop.

Nobody is refused for what others tried: who comes from an address that guessed waits for a turn
there, and a right code opens when it comes. Only where more wait than can be answered in time, at
one address, they are told to come again.
"""

import asyncio
import ipaddress
import time
from asyncio import wrap_future
from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Annotated

from fastapi import Depends, Request
from sqlmodel import Session

from server.domain.base.errors import DomainError, Fault, InvalidInput, TooMany
from server.store.between.tries import TriedCodes, keep_tried, tried_at
from server.store.grouped import GroupedWriter
from server.web.frame.forms import Form, Typed

TRIES = 10
REFILL_S = 6.0
"""Seconds until one more try comes back."""

TURN_S = 0.5
"""So long after each other the tries of an address that guessed are looked at. In the six hours of
a run's code that is 43,200 of 191 million."""

LONGEST_WAIT_S = 15.0
MOST_ADDRESSES = 4096


class Throttle:
    """Tries by address. Right ones are given back: fifty who know the code may share one."""

    def __init__(
        self,
        tries: int = TRIES,
        refill_s: float = REFILL_S,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._tries = tries
        self._refill_s = refill_s
        self._clock = clock
        # Routes run in several threads.
        self._sides: OrderedDict[str, TriedCodes] = OrderedDict()
        self._lock = Lock()

    def turn(self, address: str) -> float:
        """Spend a try; seconds until it may be looked at, 0 while few were wrong.

        Raises TooMany where too many wait already.
        """
        with self._lock:
            now_s = self._clock()
            tried = self._after_one(self._sides.get(_side(address), TriedCodes()), now_s)
            self._keep(address, tried)
        return max(0.0, tried.turn_s - now_s)

    async def wait_s(self, address: str) -> float:
        """The same, for whoever must not hold the loop up."""
        return self.turn(address)

    def give_back(self, address: str) -> None:
        """The try was a right one."""
        with self._lock:
            was = self._sides.get(_side(address), TriedCodes())
            self._keep(address, self._without_one(was, self._clock()))

    def _after_one(self, was: TriedCodes, now_s: float) -> TriedCodes:
        """What an address did with one more try. Raises TooMany."""
        spent, turn_s = self._spent_at(was, now_s), 0.0
        if spent > self._tries - 1:
            turn_s = max(now_s, was.turn_s) + TURN_S
            if turn_s - now_s > LONGEST_WAIT_S:
                raise TooMany("Too many try codes from where you are. Try again in a minute.")
        # No more than all are spent: who guessed has them back within a minute.
        return TriedCodes(min(spent + 1, self._tries), now_s, turn_s)

    def _without_one(self, was: TriedCodes, now_s: float) -> TriedCodes:
        return TriedCodes(max(0.0, self._spent_at(was, now_s) - 1), now_s, was.turn_s)

    def _spent_at(self, side: TriedCodes, now_s: float) -> float:
        return max(0.0, side.spent - (now_s - side.since_s) / self._refill_s)

    def _keep(self, address: str, side: TriedCodes) -> None:
        self._sides[_side(address)] = side
        self._sides.move_to_end(_side(address))
        while len(self._sides) > MOST_ADDRESSES:
            self._sides.popitem(last=False)


class SharedThrottle(Throttle):
    """The same where several processes answer: what was tried stands in the database."""

    def __init__(
        self,
        writer: GroupedWriter,
        tries: int = TRIES,
        refill_s: float = REFILL_S,
        clock: Callable[[], float] = time.time,
    ) -> None:
        super().__init__(tries, refill_s, clock)
        self._writer = writer

    async def wait_s(self, address: str) -> float:
        """Spend a try, for all processes. Raises TooMany."""
        return await wrap_future(self._writer.submit(lambda session: self._spend(session, address)))

    def give_back(self, address: str) -> None:
        """The try was a right one; nobody waits until that is noted."""
        self._writer.submit(lambda session: self._return(session, address))

    def _spend(self, session: Session, address: str) -> float:
        now_s, side = self._clock(), _side(address)
        tried = self._after_one(tried_at(session, side), now_s)
        keep_tried(session, side, tried)
        return max(0.0, tried.turn_s - now_s)

    def _return(self, session: Session, address: str) -> None:
        side = _side(address)
        keep_tried(session, side, self._without_one(tried_at(session, side), self._clock()))


class Turn:
    """One try at a code, when its turn has come."""

    def __init__(self, throttle: Throttle, address: str) -> None:
        self._throttle = throttle
        self._address = address
        self._refusal: TooMany | None = None

    async def come(self) -> None:
        """Wait until the try may be looked at."""
        try:
            await asyncio.sleep(await self._throttle.wait_s(self._address))
        except TooMany as refusal:
            self._refusal = refusal

    @property
    def is_refused(self) -> bool:
        """Whether it never came: too many wait already."""
        return self._refusal is not None

    def require(self) -> None:
        """Raises TooMany where it never came."""
        if self._refusal is not None:
            raise self._refusal

    def was_right(self) -> None:
        """It counts against nobody."""
        self._throttle.give_back(self._address)


async def _turn(request: Request) -> Turn:
    throttle: Throttle = request.app.state.wrong_codes
    turn = Turn(throttle, request.client.host if request.client else "")
    await turn.come()
    return turn


HeldTurn = Annotated[Turn, Depends(_turn)]


def refused_code(typed: Typed, error: DomainError) -> tuple[Form, int]:
    """The form in which a code was typed, with what is wrong of it, and the status of the page."""
    faults = error.faults if isinstance(error, InvalidInput) else (Fault("code", error.message),)
    return Form(typed.values, faults), 429 if isinstance(error, TooMany) else 422


def _side(address: str) -> str:
    """What one who guesses cannot change at will: of IPv6 they own all but the first half.

    Where the app listens on `::` an address of IPv4 comes written as one of IPv6.
    """
    try:
        read = ipaddress.ip_address(address.split("%")[0])
    except ValueError:
        return address
    if isinstance(read, ipaddress.IPv4Address):
        return str(read)
    if read.ipv4_mapped is not None:
        return str(read.ipv4_mapped)
    return str(ipaddress.ip_network((read, 64), strict=False))
