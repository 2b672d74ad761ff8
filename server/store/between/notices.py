"""Short notices between the processes that serve one database.

A notice says what became of something (the marks of a run, a device that was taken out) and is
no more than a hint to look: what is to last stands in the database. With one process they go from
hand to hand; `posted` carries them between several.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from secrets import token_hex
from typing import Any, Protocol

from sqlmodel import Session

from server.store.database import Database, after_commit


@dataclass(frozen=True)
class Notice:
    """What was told: of which kind, about what (a run, a take), and by which process."""

    kind: str
    about: str = ""
    sender: str = ""
    more: Mapping[str, Any] = field(default_factory=dict)

    def text(self) -> str:
        """As it goes over the wire; it must stay below 8000 bytes."""
        row = [self.kind, self.about, self.sender, self.more]
        return json.dumps(row, ensure_ascii=False, separators=(",", ":"))


def notice_from(text: str) -> Notice:
    """The notice in a text that `Notice.text` made."""
    kind, about, sender, more = json.loads(text)
    return Notice(kind, about, sender, more)


Ear = Callable[[Sequence[Notice]], None]
"""Takes notices of one kind that came together, in the order they were told."""


class Notices(Protocol):
    """The way to the other processes and back."""

    own: str
    """The name of this process, under which it tells."""

    is_shared: bool
    """Whether others may serve the same database."""

    def hear(self, kind: str, ear: Ear) -> None:
        """Hand notices of a kind to `ear`, also those of this process; on any thread."""

    def after_gap(self, ear: Callable[[], None]) -> None:
        """Call `ear` when some notices may have been missed."""

    def tell(self, session: Session, kind: str, about: str = "", **more: object) -> None:
        """Tell all with the changes of a writing session: once they are durable, or never."""

    def tell_of_many(
        self, session: Session, kind: str, told: Mapping[str, Mapping[str, object]]
    ) -> None:
        """The same of many at once: about what -> what more."""

    def say(self, kind: str, about: str = "", **more: object) -> None:
        """Tell all at once, without waiting: it may be lost where a process or the wire ends."""

    def begin(self) -> None:
        """Listen from now on."""

    def close(self) -> None:
        """Listen no more."""


class OwnNotices:
    """Notices of a process that has the database to itself: told from hand to hand."""

    is_shared = False

    def __init__(self) -> None:
        self.own = token_hex(4)
        self._ears: dict[str, list[Ear]] = {}

    def hear(self, kind: str, ear: Ear) -> None:
        """Hand notices of a kind to `ear`, on the thread that tells."""
        self._ears.setdefault(kind, []).append(ear)

    def after_gap(self, ear: Callable[[], None]) -> None:
        """Nothing is ever missed."""

    def tell(self, session: Session, kind: str, about: str = "", **more: object) -> None:
        """Tell with the changes of a writing session."""
        self.tell_of_many(session, kind, {about: more})

    def tell_of_many(
        self, session: Session, kind: str, told: Mapping[str, Mapping[str, object]]
    ) -> None:
        """Tell of many with the changes of a writing session."""
        for about, more in told.items():
            after_commit(session, partial(self.say, kind, about, **more))

    def say(self, kind: str, about: str = "", **more: object) -> None:
        """Tell at once."""
        for ear in self._ears.get(kind, ()):
            ear([Notice(kind, about, self.own, more)])

    def begin(self) -> None:
        """There is nobody else to listen to."""

    def close(self) -> None:
        """Hand nothing on any more."""
        self._ears.clear()


def notices_of(database: Database) -> Notices:
    """The notices between the processes that may serve a database."""
    if database.path is not None:
        return OwnNotices()
    from server.store.between.posted import PostedNotices

    return PostedNotices(database)
