import sqlite3
import threading
from dataclasses import replace

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlmodel import Session

from server.domain.routine.routine import Routine
from server.store.database import Database, after_commit
from server.store.routines import create_routine, edit_routine, list_routines, load_routine
from server.store.rule_sheets import list_rule_sheets, save_rule_sheet
from tests.engines import on_both, only_sqlite
from tests.factories import NOW_MS, RULES, make_routine

pytestmark = on_both


def pragma(session: Session, name):
    return session.connection().execute(text(f"PRAGMA {name}")).scalar_one()


def with_one_more_word(routine: Routine):
    return make_routine(notes=f"{routine.notes}x")


def write_words(database, count, failures):
    try:
        for _ in range(count):
            with database.writing() as session:
                edit_routine(session, "r1", with_one_more_word, "wrote", NOW_MS)
    except Exception as error:
        failures.append(error)


def written_at_once(*databases, count=15):
    """How many words there are after each database wrote `count` of them in its own thread."""
    with databases[0].writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
    failures = []
    threads = [
        threading.Thread(target=write_words, args=(database, count, failures))
        for database in databases
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert failures == []
    with databases[0].reading() as session:
        return len(load_routine(session, "r1").routine.notes)


def test_what_was_written_is_there_after_it_is_opened_again(database, other):
    with database.writing() as session:
        save_rule_sheet(session, RULES)
    database.close()
    with other.reading() as session:
        assert list_rule_sheets(session) == [RULES]


@only_sqlite
def test_a_commit_is_on_the_disk_before_it_is_answered(database):
    with database.writing() as session:
        # SQLite: 2 is FULL, which syncs the write-ahead log at every commit.
        assert pragma(session, "synchronous") == 2
        assert pragma(session, "journal_mode") == "wal"
        assert pragma(session, "foreign_keys") == 1


def test_a_write_that_raises_leaves_nothing(database):
    def fail():
        with database.writing() as session:
            save_rule_sheet(session, RULES)
            session.flush()
            raise RuntimeError("halfway")

    with pytest.raises(RuntimeError):
        fail()
    with database.reading() as session:
        assert list_rule_sheets(session) == []


def hold_references_at_the_commit(session):
    """And not at once, so that it is the commit that fails."""
    later = {
        "sqlite": "PRAGMA defer_foreign_keys=ON",
        "postgresql": "ALTER TABLE revision ALTER CONSTRAINT fk_revision_routine_id_routine"
        " DEFERRABLE INITIALLY DEFERRED",
    }
    session.connection().execute(text(later[session.get_bind().dialect.name]))


def test_a_write_whose_commit_fails_leaves_nothing_and_the_next_one_works(database):
    def break_a_reference_until_the_commit():
        with database.writing() as session:
            hold_references_at_the_commit(session)
            save_rule_sheet(session, RULES)
            session.connection().execute(
                text("INSERT INTO revision VALUES ('nobody', 1, 'x', 0, '{}')")
            )

    with pytest.raises(IntegrityError):
        break_a_reference_until_the_commit()
    with database.writing() as session:
        assert list_rule_sheets(session) == []
        save_rule_sheet(session, RULES)


def test_what_fails_is_told_without_the_values_that_were_written(database):
    # It is logged, and a log is read by others than those who typed.
    statement = text("INSERT INTO wrong_tries (what) VALUES (:secret)")
    with pytest.raises(DBAPIError) as failed, database.writing() as session:
        session.connection().execute(statement, {"secret": "a password"})
    assert "a password" not in str(failed.value)


def test_a_reader_sees_the_last_committed_state_while_another_writes(database):
    with database.writing() as writer, database.reading() as reader:
        save_rule_sheet(writer, RULES)
        writer.flush()
        assert list_rule_sheets(reader) == []
    with database.reading() as reader:
        assert list_rule_sheets(reader) == [RULES]


def test_a_reader_keeps_to_one_state_to_its_end(database):
    with database.reading() as reader:
        assert list_routines(reader) == []
        with database.writing() as writer:
            save_rule_sheet(writer, RULES)
        assert list_rule_sheets(reader) == []


def test_two_threads_that_write_at_once_lose_nothing(database):
    assert written_at_once(database, database) == 30


def test_two_processes_that_write_at_once_lose_nothing(database, other):
    assert written_at_once(database, other) == 30


@only_sqlite
def test_a_backup_is_the_whole_database_as_it_was(database, tmp_path):
    with database.writing() as session:
        save_rule_sheet(session, RULES)
    database.backup(tmp_path / "copy.db")
    copy = Database(tmp_path / "copy.db")
    with copy.reading() as session:
        assert list_rule_sheets(session) == [RULES]
    copy.close()


@only_sqlite
def test_a_backup_can_be_taken_while_another_writes(database, tmp_path):
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        session.flush()
        database.backup(tmp_path / "copy.db")
    with sqlite3.connect(tmp_path / "copy.db") as copy:
        assert copy.execute("SELECT count(*) FROM rule_sheet").fetchone() == (0,)
    copy.close()


def test_whatever_may_have_been_written_is_counted_and_reading_is_not(database):
    before = database.writes
    with database.reading() as session:
        list_rule_sheets(session)
    assert database.writes == before
    with database.writing() as session:
        save_rule_sheet(session, RULES)
    with pytest.raises(KeyError), database.writing():
        raise KeyError
    assert database.writes == before + 2


def test_what_was_written_is_told_once_it_is_durable_and_before_the_next_write(database):
    told = []

    def note(name):
        with database.reading() as session:
            told.append((name, len(list_rule_sheets(session))))

    for number in range(2):
        with database.writing() as session:
            after_commit(session, lambda number=number: note(number))
            save_rule_sheet(session, replace(RULES, id=f"sheet-{number}"))
            assert len(told) == number
    assert told == [(0, 1), (1, 2)]


def write_in_vain(database, told):
    with database.writing() as session:
        after_commit(session, lambda: told.append("written"))
        save_rule_sheet(session, RULES)
        raise RuntimeError


def test_what_failed_to_be_written_is_never_told(database):
    told = []
    with pytest.raises(RuntimeError):
        write_in_vain(database, told)
    assert told == []


def log_of(database):
    """Bytes of the write-ahead log."""
    return database.path.with_name(f"{database.path.name}-wal").stat().st_size


@only_sqlite
def test_sqlite_never_puts_the_log_away_by_itself(database):
    for begin in (database.reading, database.writing):
        with begin() as session:
            assert pragma(session, "wal_autocheckpoint") == 0


@only_sqlite
def test_the_log_is_put_away_before_it_grows_long(database):
    sizes = []
    for number in range(400):
        with database.writing() as session:
            save_rule_sheet(session, replace(RULES, id=f"sheet-{number}"))
        sizes.append(log_of(database))
    # Put away after 128 writes it is begun anew; else it would be four times as long in the end.
    assert max(sizes) < 2 * sizes[99]
