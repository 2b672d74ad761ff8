"""Who follows which run just now, and handing on to them what happens in it.

Of the followers of one process this is a matter of memory: what waits for each. It lives in the
event loop; `publish` may be called from any thread. `shared` joins those of several processes.
"""

import asyncio
import time
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial

from sqlmodel import Session

from server.domain.base.errors import TooMany
from server.domain.runs.joining import MOST_WATCHING
from server.store.database import after_commit
from server.store.run_logs import Arrival
from server.web.live.frames import StreamFrame, mark_frame
from server.web.live.waking import Waking

MOST_WAITING = 64
"""Messages that may wait for one follower. Who falls further behind is let go of, and resumes from
the database when there is room again: nobody slow fills the memory, or holds up the others."""


MOST_OF_ONE_PASS = 3
"""Pages that one who joined has open at a time: all places are not for one of them."""

HEARD_WITHIN_S = 12.0
"""A device counts as watching while it was heard within so long. Its page says every 4 s that it is
there; the presenter's asks every 2 s; so one that was lost is gone from sight within 15 s."""


Message = Sequence[StreamFrame]


def key_of(device: str) -> str:
    """The key of the pass that a device follows on; it stands before the dot."""
    return device.partition(".")[0]


class Follower:
    """One device that follows a run; `device` stays the same when it connects again."""

    def __init__(self, name: str, device: str, heard_s: float) -> None:
        self.name = name
        self.device = device
        self.key = key_of(device)
        self.heard_s = heard_s
        self._waiting: deque[Message | None] = deque()
        self._wake: asyncio.Future[None] | None = None

    async def next(self, within_s: float) -> Message | None:
        """The next message, or None where it shall end. Raises TimeoutError when none comes."""
        if not self._waiting:
            # Hundreds wait anew after every mark. A queue with a limit of time around it took three
            # times as long.
            loop = asyncio.get_running_loop()
            self._wake = loop.create_future()
            late = loop.call_later(within_s, _wake, self._wake)
            try:
                await self._wake
            finally:
                late.cancel()
        if not self._waiting:
            raise TimeoutError
        return self._waiting.popleft()

    def take(self, message: Message) -> bool:
        """Let a message wait for it; False where too many do."""
        if len(self._waiting) >= MOST_WAITING:
            return False
        self._put(message)
        return True

    def end(self) -> None:
        """Let it go: what waits for it is dropped."""
        self._waiting.clear()
        self._put(None)

    def _put(self, message: Message | None) -> None:
        self._waiting.append(message)
        if self._wake is not None:
            _wake(self._wake)


def _wake(sleeper: asyncio.Future[None]) -> None:
    if not sleeper.done():
        sleeper.set_result(None)


class LiveBus:
    """The followers of each run.

    A connection whose other end is gone may look open for many minutes: so who watches is told by
    when a device was last heard. Who is slow to be heard is not counted, but goes on being told.
    """

    def __init__(
        self,
        loop: asyncio.AbstractEventLoop,
        most: int = MOST_WATCHING,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self.waking = Waking(loop)
        self._most = most
        self._now_s = now_s
        self._followers: dict[str, list[Follower]] = {}
        self._closed = False

    @property
    def count(self) -> int:
        """How many connections follow any run."""
        return sum(len(each) for each in self._followers.values())

    def names(self, run_id: str) -> list[str]:
        """Who follows a run just now, a name for each device that was heard lately."""
        return [each.name for each in self._of(run_id) if not self._is_silent(each)]

    def heard(self, run_id: str, device: str) -> None:
        """A device that follows a run said that it is there."""
        for follower in self._of(run_id):
            if follower.device == device:
                follower.heard_s = self._now_s()

    def require_room(self, run_id: str) -> None:
        """Raises TooMany where as many devices watch a run as can."""
        if len(self.names(run_id)) >= self._most:
            raise TooMany(
                f"{self._most} devices watch this run already, and more cannot. "
                "Ask somebody to close their page."
            )

    def tell(self, session: Session, arrived: Mapping[str, Sequence[Arrival]]) -> None:
        """Hand on what came new to the logs of some runs, once that is durable."""
        for run_id, each in arrived.items():
            after_commit(session, partial(self._publish_marks, run_id, each))

    def pulse(self, run_id: str, frame: StreamFrame) -> None:
        """Hand on what is true just now, and kept nowhere."""
        self.publish(run_id, [frame])

    def end_with(self, session: Session, run_id: str) -> None:
        """Let go of all who follow a run, once the changes of a session are durable."""
        after_commit(session, lambda: self.end(run_id))

    def end_pass_with(self, session: Session, run_id: str, key: str) -> None:
        """Let go of all that follow a run on one pass, once the changes of a session are."""
        after_commit(session, lambda: self.end_pass(run_id, key))

    def end_pass(self, run_id: str, key: str) -> None:
        """Let go of all that follow a run on one pass; from any thread."""
        if not self._closed:
            self.waking.call(self._end_of, run_id, key)

    def end_passes_with(self, session: Session, key: str) -> None:
        """Let go of all that follow any run on passes of one key, once a session's changes are."""
        after_commit(session, lambda: self._end_passes_soon(key))

    @contextmanager
    def following(self, run_id: str, name: str, device: str) -> Iterator[Follower]:
        """Follow a run inside the block. Raises TooMany where no more can.

        An earlier connection of the same device ends: it may be one whose network is gone, and
        nobody knows yet. One pass holds few, and of those the oldest makes room. Where all places
        are taken, the one that is silent longest does.
        """
        for earlier in self._of(run_id):
            if earlier.device == device:
                self._let_go(run_id, earlier)
        of_pass = [each for each in self._of(run_id) if each.key == key_of(device)]
        for oldest in of_pass[: len(of_pass) - MOST_OF_ONE_PASS + 1]:
            self._let_go(run_id, oldest)
        self.require_room(run_id)
        if len(self._of(run_id)) >= self._most:
            self._let_go(run_id, min(self._of(run_id), key=lambda each: each.heard_s))
        follower = Follower(name, device, self._now_s())
        self._followers[run_id] = [*self._of(run_id), follower]
        if self._closed:
            follower.end()
        try:
            yield follower
        finally:
            self._let_go(run_id, follower)

    def publish(self, run_id: str, message: Message) -> None:
        """Hand a message to all who follow a run; from any thread, in the order of the calls."""
        if not self._closed:
            self.waking.call(self._deliver, run_id, message)

    def end(self, run_id: str) -> None:
        """Let go of all who follow a run; from any thread."""
        if not self._closed:
            self.waking.call(self._end, run_id)

    def close(self) -> None:
        """Let go of everybody, now and from now on: the app stops."""
        self._closed = True
        for run_id in list(self._followers):
            self._end(run_id)

    def _publish_marks(self, run_id: str, arrived: Sequence[Arrival]) -> None:
        # Nobody is told in vain: who follows from now on reads from the log what is durable now.
        if run_id in self._followers:
            self.publish(run_id, [mark_frame(each) for each in arrived])

    def _deliver(self, run_id: str, message: Message) -> None:
        for follower in self._of(run_id):
            if not follower.take(message):
                self._let_go(run_id, follower)

    def _end(self, run_id: str) -> None:
        for follower in self._of(run_id):
            self._let_go(run_id, follower)

    def _end_of(self, run_id: str, key: str) -> None:
        for follower in self._of(run_id):
            if follower.key == key:
                self._let_go(run_id, follower)

    def _end_passes_soon(self, key: str) -> None:
        if not self._closed:
            self.waking.call(self._end_everywhere, key)

    def _end_everywhere(self, key: str) -> None:
        for run_id in list(self._followers):
            self._end_of(run_id, key)

    def _is_silent(self, follower: Follower) -> bool:
        return self._now_s() - follower.heard_s > HEARD_WITHIN_S

    def _of(self, run_id: str) -> list[Follower]:
        return self._followers.get(run_id, [])

    def _let_go(self, run_id: str, follower: Follower) -> None:
        # A new list each time, so that who goes through the old one is not disturbed.
        remaining = [each for each in self._of(run_id) if each is not follower]
        follower.end()
        if remaining:
            self._followers[run_id] = remaining
        else:
            self._followers.pop(run_id, None)
