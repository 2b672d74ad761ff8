"""Marks that wait together are written together, and stand or fall each by itself."""

from threading import Event

import pytest
from sqlalchemy import text
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.store.database import after_commit
from server.store.grouped import GroupedWriter
from tests.engines import on_both

pytestmark = on_both


@pytest.fixture
def writer(database):
    with database.writing() as session:
        session.connection().execute(text("CREATE TABLE said (word TEXT PRIMARY KEY)"))
    writer = GroupedWriter(database)
    yield writer
    writer.close()


def say(word):
    def make(session: Session) -> str:
        statement = text("INSERT INTO said VALUES (:word)")
        session.connection().execute(statement, {"word": word})
        return word

    return make


def said(database):
    with database.reading() as session:
        return sorted(session.connection().execute(text("SELECT word FROM said")).scalars())


def together(writer, changes, asked=()):
    """Have the writer find all these waiting at once, behind one that keeps it busy."""
    begun, go = Event(), Event()

    def wait(_session):
        begun.set()
        assert go.wait(20)

    first = writer.submit(wait)
    assert begun.wait(20)
    wanted = asked or [None] * len(changes)
    pairs = zip(changes, wanted, strict=True)
    futures = [writer.submit(change, "", each) for change, each in pairs]
    go.set()
    first.result(20)
    return futures


def refuse(_session):
    raise InvalidInput.of("events", "no")


def test_what_waits_together_takes_one_transaction(database, writer):
    before = database.writes
    for future in together(writer, [say(word) for word in "abcdef"]):
        future.result(20)
    assert database.writes - before == 2  # The one that kept it busy, and the six.
    assert said(database) == list("abcdef")


def test_one_that_is_refused_leaves_the_others_standing(database, writer):
    good, bad, twice, last = together(writer, [say("a"), refuse, say("a"), say("b")])
    assert (good.result(20), last.result(20)) == ("a", "b")
    with pytest.raises(InvalidInput):
        bad.result(20)
    assert twice.exception(20) is not None
    assert said(database) == ["a", "b"]


def test_what_a_refused_change_wanted_told_is_not_told(writer):
    told = []

    def tells(word, fails=False):
        def make(session):
            after_commit(session, lambda: told.append(word))
            if fails:
                refuse(session)

        return make

    futures = together(writer, [tells("a"), tells("b", fails=True), tells("c")])
    assert [future.exception(20) is None for future in futures] == [True, False, True]
    assert told == ["a", "c"]


def test_nobody_is_told_that_it_stands_when_the_transaction_was_ended(database, writer):
    def end_it_all(session):
        session.connection().connection.driver_connection.execute("ROLLBACK")
        raise OSError("the disk is full")

    futures = together(writer, [say("a"), end_it_all, say("b")])
    assert all(future.exception(20) is not None for future in futures)
    assert said(database) == []


def test_a_failed_commit_is_told_to_all(database, writer, monkeypatch):
    def fail(_session):
        raise OSError("the disk is full")

    monkeypatch.setattr(Session, "commit", fail)
    futures = one_after_another(writer, [say("a")])
    assert all(isinstance(future.exception(20), OSError) for future in futures)
    monkeypatch.undo()
    assert said(database) == []


def one_after_another(writer, changes):
    return [writer.submit(change) for change in changes]


def test_the_writer_writes_what_waits_before_it_ends(database, writer):
    futures = one_after_another(writer, [say(word) for word in "abc"])
    writer.close()
    assert [future.result(0) for future in futures] == list("abc")
    with pytest.raises(RuntimeError):
        writer.submit(say("d"))


def test_it_goes_on_after_a_failure(database, writer):
    assert writer.submit(refuse).exception(20) is not None
    assert writer.submit(say("a")).result(20) == "a"


def test_one_who_cannot_be_told_keeps_nobody_else_from_being_told(writer):
    heard = Event()

    def gone(_answer, _error):
        raise RuntimeError("the loop is closed")

    writer.take(say("a"), gone)
    writer.take(say("b"), lambda *told: heard.set() if told == ("b", None) else None)
    assert heard.wait(20)


def test_who_waits_is_told_before_the_log_of_the_database_is_put_away(
    database, writer, monkeypatch
):
    told_before = []
    tells = []
    after_write = database.engine.after_write

    def put_away(writes):
        told_before.append(list(tells))
        after_write(writes)

    monkeypatch.setattr(database.engine, "after_write", put_away)
    writer.take(say("a"), lambda *told: tells.append(told))
    writer.close()
    assert told_before == [[("a", None)]]


def test_what_was_written_stands_where_the_log_cannot_be_put_away(database, writer, monkeypatch):
    def fail(_writes):
        raise OSError("the disk is full")

    monkeypatch.setattr(database.engine, "after_write", fail)
    assert writer.submit(say("a")).result(20) == "a"
    assert writer.submit(say("b")).result(20) == "b"
    assert said(database) == ["a", "b"]
