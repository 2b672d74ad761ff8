"""Passes to watch a run that a person has by how they stand to its routine, without a code."""

from sqlmodel import Session, col, select, update

from server.domain.people.person import Person
from server.store.tables import RunRow, WatcherRow
from server.store.watchers import Watcher, admit

_OF_PERSONS = "person-"


def key_of_person(person_id: str) -> str:
    """The key of every pass that a person has by how they stand to a routine."""
    return _OF_PERSONS + person_id


def is_of_another(watcher: Watcher, person: Person | None) -> bool:
    """Whether a pass is a person's, and not that of who asks: somebody else used the browser."""
    if not watcher.key.startswith(_OF_PERSONS):
        return False
    return person is None or watcher.key != key_of_person(person.id)


def admit_person(session: Session, run_id: str, person: Person, now_ms: int) -> tuple[Watcher, str]:
    """A pass to a run for a person who may follow it, and the token to be shown for it."""
    return admit(session, run_id, person.name, now_ms, key=key_of_person(person.id))


def end_passes(session: Session, routine_id: str, person_id: str, now_ms: int) -> list[str]:
    """End a person's passes to all runs of a routine; the ids of those runs."""
    standing = (
        col(WatcherRow.key) == key_of_person(person_id),
        col(WatcherRow.ended_ms).is_(None),
        col(WatcherRow.run_id).in_(select(RunRow.id).where(RunRow.routine_id == routine_id)),
    )
    runs = sorted(set(session.exec(select(WatcherRow.run_id).where(*standing))))
    session.exec(update(WatcherRow).where(*standing).values(ended_ms=now_ms))
    return runs
