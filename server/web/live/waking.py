"""Handing things to the loop from other threads: many at once for one waking of it.

To wake the loop costs a system call, and another turn of the threads. Where a group of marks was
written together, each of them would have woken it twice.
"""

import asyncio
from collections import deque
from collections.abc import Callable
from typing import Any

from server.store.grouped import Tell


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

    async def told(self, ask: Callable[[Tell], None]) -> Any:  # noqa: ANN401
        """What another thread tells; `ask` has it told. Raises what is told to have been raised."""
        loop = asyncio.get_running_loop()
        answer: asyncio.Future[Any] = loop.create_future()
        # As two clients of one app in a test: who waits is on a loop of their own.
        call: Callable[..., object] = self.call if loop is self._loop else loop.call_soon_threadsafe
        ask(lambda value, error: call(_settle, answer, value, error))
        return await answer


def _settle(answer: "asyncio.Future[Any]", value: object, error: BaseException | None) -> None:
    if answer.done():
        return  # Nobody waits for it any more.
    if error is None:
        answer.set_result(value)
    else:
        answer.set_exception(error)
