"""The links that the terminals of running processes show: each is good in all of them."""

import logging
import time
from threading import Event, Thread

from sqlmodel import Session, col, delete

from server.store.between.table import PrintedLinkRow
from server.store.database import Database
from server.store.devices import hash_of

LASTS_MS = 120_000
"""So long after a process was last heard its link still opens; it says that it runs every third."""

_log = logging.getLogger(__name__)


class Shows:
    """Says for a process, until it ends, that its link stands in a terminal."""

    def __init__(self, database: Database, secret: str) -> None:
        self._database = database
        self._secret = secret
        self._ended = Event()
        self._thread = Thread(target=self._say_so, name="printed link", daemon=True)
        self._thread.start()

    def end(self) -> None:
        """Say so no more; returns when nothing of it is under way: the database is closed next."""
        self._ended.set()
        self._thread.join()

    def _say_so(self) -> None:
        wait_s = 0.0
        while not self._ended.wait(wait_s):
            wait_s = LASTS_MS / 3000
            try:
                with self._database.writing() as session:
                    keep_link(session, self._secret, time.time_ns() // 1_000_000)
            except Exception:
                _log.exception("The link in the terminal could not be kept.")


def keep_link(session: Session, secret: str, now_ms: int) -> None:
    """The process that printed a link with this secret runs."""
    session.merge(PrintedLinkRow(secret_hash=hash_of(secret), until_ms=now_ms + LASTS_MS))
    session.exec(delete(PrintedLinkRow).where(col(PrintedLinkRow.until_ms) <= now_ms))


def drop_links(session: Session) -> None:
    """No process runs that has printed one."""
    session.exec(delete(PrintedLinkRow))


def is_printed(session: Session, secret: str, now_ms: int) -> bool:
    """Whether a link with this secret stands in the terminal of a process that runs."""
    row = session.get(PrintedLinkRow, hash_of(secret))
    return row is not None and row.until_ms > now_ms
