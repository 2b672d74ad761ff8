"""Notices between several processes, carried by PostgreSQL's LISTEN and NOTIFY.

One connection for each process, on a thread of its own. What is told with a transaction reaches
everybody, the sender too, when that is durable, and in the order of commits. While the connection
is gone notices are missed: then `after_gap` says so, and whoever listens looks into the database.
"""

import logging
import os
import selectors
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from itertools import groupby
from secrets import token_hex
from threading import Event, Thread

import psycopg
from sqlalchemy import text
from sqlalchemy.exc import OperationalError
from sqlmodel import Session

from server.store.between.alone import bare_connection, stay
from server.store.between.notices import Ear, Notice, notice_from
from server.store.database import Database
from server.store.disk import said_by

CHANNEL = "ninefifty"
AGAIN_AFTER_S = 0.5
"""How long after a lost connection the next is tried."""

BEAT_S = 5.0
"""A connection that says nothing for so long is asked whether it still stands."""

MOST_AT_ONCE, MOST_WAITING = 500, 10_000
"""Notices that go out together, and that wait while there is no connection: older ones are lost."""

_LISTEN = f"LISTEN {CHANNEL}"
_TELL = text("SELECT pg_notify(:channel, notice) FROM unnest(CAST(:notices AS text[])) AS notice")
_SAY = "SELECT pg_notify(%s, notice) FROM unnest(%s::text[]) AS notice"

_log = logging.getLogger(__name__)


class PostedNotices:
    """The way to the other processes of a PostgreSQL database and back."""

    is_shared = True

    def __init__(self, database: Database) -> None:
        self.own = token_hex(4)
        self._database = database
        self._ears: dict[str, list[Ear]] = {}
        self._gap_ears: list[Callable[[], None]] = []
        self._to_say: deque[str] = deque(maxlen=MOST_WAITING)
        self._heard: list[str] = []
        self._ended = Event()
        self._listens = Event()
        self._is_told = False
        self._woken, self._wake = os.pipe()
        os.set_blocking(self._wake, False)
        os.set_blocking(self._woken, False)
        self._thread = Thread(target=self._work, name="notices", daemon=True)

    def hear(self, kind: str, ear: Ear) -> None:
        """Hand notices of a kind to `ear`, on the thread of the connection."""
        self._ears.setdefault(kind, []).append(ear)

    def after_gap(self, ear: Callable[[], None]) -> None:
        """Call `ear` when notices may have been missed, and once at the beginning."""
        self._gap_ears.append(ear)

    def tell(self, session: Session, kind: str, about: str = "", **more: object) -> None:
        """Tell with the changes of a writing session: the server does it with the commit."""
        self.tell_of_many(session, kind, {about: more})

    def tell_of_many(
        self, session: Session, kind: str, told: Mapping[str, Mapping[str, object]]
    ) -> None:
        """Tell of many, in their order, with one statement."""
        notices = [Notice(kind, about, self.own, more).text() for about, more in told.items()]
        session.connection().execute(_TELL, {"channel": CHANNEL, "notices": notices})

    def say(self, kind: str, about: str = "", **more: object) -> None:
        """Tell at once, without waiting."""
        self._to_say.append(Notice(kind, about, self.own, more).text())
        self._nudge()

    def begin(self, within_s: float = 60.0) -> None:
        """Listen from now on; returns when it does, or after a while without."""
        self._thread.start()
        self._listens.wait(within_s)

    def close(self) -> None:
        """Listen no more; what was said before still goes out."""
        self._ended.set()
        self._nudge()
        if self._thread.ident is not None:
            self._thread.join(timeout=5)

    def _nudge(self) -> None:
        with suppress(BlockingIOError):  # It is awake already.
            os.write(self._wake, b"x")

    def _work(self) -> None:
        while not self._ended.is_set():
            try:
                with bare_connection(self._database) as connection:
                    self._listen(connection)
            except (psycopg.Error, OperationalError) as error:
                # It is tried again and again: told once until it went well.
                if not self._is_told:
                    _log.warning("No notices of other workers for a moment: %s", said_by(error))
                self._is_told = True
                self._ended.wait(AGAIN_AFTER_S)
            except Exception:
                _log.exception("A notice could not be handed on.")
                self._ended.wait(AGAIN_AFTER_S)

    def _listen(self, connection: psycopg.Connection) -> None:
        self._heard.clear()
        connection.add_notify_handler(lambda notify: self._heard.append(notify.payload))
        connection.execute(_LISTEN)
        stay(connection)
        for ear in self._gap_ears:
            ear()
        self._listens.set()
        self._is_told = False
        with selectors.DefaultSelector() as waiting:
            waiting.register(connection.fileno(), selectors.EVENT_READ)
            waiting.register(self._woken, selectors.EVENT_READ)
            while not self._ended.is_set():
                self._say_all(connection)
                self._hand_on()
                if not waiting.select(BEAT_S):
                    connection.execute("SELECT 1")
                self._take_in(connection)
            self._say_all(connection)

    def _take_in(self, connection: psycopg.Connection) -> None:
        with suppress(BlockingIOError):
            os.read(self._woken, 65536)
        connection.pgconn.consume_input()
        while notify := connection.pgconn.notifies():
            self._heard.append(notify.extra.decode())

    def _say_all(self, connection: psycopg.Connection) -> None:
        while notices := list(_waiting(self._to_say)):
            connection.execute(_SAY, (CHANNEL, notices))

    def _hand_on(self) -> None:
        heard, self._heard = [notice_from(each) for each in self._heard], []
        for kind, notices in groupby(heard, key=lambda each: each.kind):
            self._hand(kind, list(notices))

    def _hand(self, kind: str, notices: Sequence[Notice]) -> None:
        for ear in self._ears.get(kind, ()):
            ear(notices)


def _waiting(to_say: deque[str]) -> Iterator[str]:
    for _ in range(MOST_AT_ONCE):
        try:
            yield to_say.popleft()
        except IndexError:
            return
