"""Handing things to the loop from other threads: many at once for one waking of it.

To wake the loop costs a system call, and another turn of the threads. Where a group of marks was
written together, each of them would have woken it twice.
"""

import asyncio
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future
from typing import Any, TypeVar

T = TypeVar("T")


class Waking:
    """What a loop is to do that other threads asked of it, in the order in which they did."""

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self._loop = loop
        self._waiting: deque[tuple[Callable[..., object], tuple[Any, ...]]] = deque()
        self._is_due = False

    def call(self, what: Callable[..., object], *given: object) -> None:
        """Have the loop call something soon; from any thread."""
        self._waiting.append((what, given))
        if not self._is_due:
            self._is_due = True
            self._loop.call_soon_threadsafe(self._hand_over)

    def _hand_over(self) -> None:
        # First: what comes from now on wakes the loop by itself.
        self._is_due = False
        for _ in range(len(self._waiting)):
            what, given = self._waiting.popleft()
            try:
                # At once, as if each had woken the loop: nothing may come between.
                what(*given)
            except Exception as error:
                told = {"message": "What another thread asked for failed.", "exception": error}
                self._loop.call_exception_handler(told)

    async def outcome(self, future: "Future[T]") -> T:
        """What another thread answers. Raises what it raises."""
        if asyncio.get_running_loop() is not self._loop:
            # As two clients of one app in a test: who waits is on a loop of their own.
            return await asyncio.wrap_future(future)
        answer: asyncio.Future[T] = self._loop.create_future()
        future.add_done_callback(lambda done: self.call(_settle, answer, done))
        return await answer


def _settle(answer: "asyncio.Future[T]", done: "Future[T]") -> None:
    if answer.done():
        return  # Nobody waits for it any more.
    error = done.exception()
    if error is None:
        answer.set_result(done.result())
    else:
        answer.set_exception(error)
