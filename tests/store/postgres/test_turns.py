"""Several processes write to one PostgreSQL database: who waits for whom, and who for nobody."""

import threading
import time

import psycopg
import pytest

from server.store.database import Database
from server.store.grouped import GroupedWriter
from server.store.routines import change_of, create_routine
from server.store.rule_sheets import list_rule_sheets, save_rule_sheet
from server.store.runs import append_events, create_run, load_run
from tests.engines import POSTGRES
from tests.factories import NOW_MS, RULES, make_event, make_routine

pytestmark = pytest.mark.parametrize("engine", [POSTGRES], indirect=True)
GIVE_UP_S = 60


def two_runs(database):
    """A run of each of two routines."""
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        routines = [make_routine(routine_id=each) for each in ("r1", "r2")]
        for routine in routines:
            create_routine(session, routine, NOW_MS)
        return [create_run(session, routine, RULES, NOW_MS) for routine in routines]


def mark(session, run_id, event_id="e1"):
    note = make_event(event_id, "note", text="marked")
    return append_events(session, run_id, [note], NOW_MS).arrived[0].rev


class Waiting:
    """A transaction of another process, in a thread of its own; it ends when it has its turn."""

    def __init__(self, database, of_runs=None):
        self._thread = threading.Thread(target=self._write, args=(database, of_runs))
        self._thread.start()

    def _write(self, database, of_runs):
        with database.writing(of_runs):
            pass

    def has_ended(self):
        self._thread.join(GIVE_UP_S)
        return not self._thread.is_alive()

    def waits(self, place):
        """Whether it came to wait for a lock; asked until it does, or has ended without."""
        asked = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted"
        with psycopg.connect(place.replace("+psycopg", ""), autocommit=True) as connection:
            while self._thread.is_alive():
                if connection.execute(asked).fetchone() == (1,):
                    return True
                time.sleep(0.01)
        return False


def test_a_writer_waits_for_that_of_another_process(database, other, place):
    with database.writing():
        waiting = Waiting(other)
        assert waiting.waits(place)
    assert waiting.has_ended()


def test_marks_of_one_run_wait_for_each_other(database, other, place):
    with database.writing(of_runs=["a"]):
        waiting = Waiting(other, of_runs=["b", "a"])
        assert waiting.waits(place)
    assert waiting.has_ended()


def test_marks_of_different_runs_wait_for_nobody(database, other):
    with database.writing(of_runs=["a"]):
        assert Waiting(other, of_runs=["b"]).has_ended()


def test_whoever_writes_anything_waits_for_marks(database, other, place):
    with database.writing(of_runs=["a"]):
        waiting = Waiting(other)
        assert waiting.waits(place)
    assert waiting.has_ended()


def test_marks_of_the_same_routines_in_another_order_never_block_each_other(database, other):
    first, second = two_runs(database)
    with database.writing() as session:
        third, fourth = (create_run(session, make_routine(routine_id=each), RULES, NOW_MS)
                         for each in ("r1", "r2"))  # fmt: skip
        before = change_of(session, "r1"), change_of(session, "r2")
    with database.writing([first, second]) as one:
        mark(one, first)
        with other.writing([third, fourth]) as two:
            mark(two, fourth)
            mark(one, second)
            one.commit()
            mark(two, third)
    with database.reading() as session:
        assert change_of(session, "r1") > before[0]
        assert change_of(session, "r2") > before[1]


def test_what_comes_through_two_processes_is_in_order_of_its_commit(database, other):
    run_id, _ = two_runs(database)
    writers = [GroupedWriter(database), GroupedWriter(other)]
    sent = [
        writers[number % 2].submit(lambda session, n=number: mark(session, run_id, f"e{n}"), run_id)
        for number in range(40)
    ]
    revs = [future.result(GIVE_UP_S) for future in sent]
    for writer in writers:
        writer.close()
    with database.reading() as session:
        stored = [event.id for event in load_run(session, run_id).record.events]
    assert stored == [f"e{n}" for n in sorted(range(40), key=lambda n: revs[n])]


def state(database):
    with database.reading() as session:
        return database.state_of(session)


def test_the_state_stays_the_same_until_any_process_has_written(database, other):
    before = state(database)
    assert state(database) == state(other) == before
    with other.writing() as session:
        save_rule_sheet(session, RULES)
        session.flush()
        assert state(database) == before
    assert state(database) == state(other) != before


def test_a_session_keeps_to_the_state_that_it_saw_first(database, other):
    with database.reading() as session:
        before = database.state_of(session)
        with other.writing() as writer:
            save_rule_sheet(writer, RULES)
        assert list_rule_sheets(session) == []
        assert database.state_of(session) == before


def test_two_that_start_at_once_bring_the_tables_up_to_date_once(place, database, tmp_path):
    with database.writing() as session:
        session.connection().exec_driver_sql("DROP SCHEMA public CASCADE; CREATE SCHEMA public")
    starting = [Database(place, folder=tmp_path) for _ in range(2)]
    failures = []

    def start(each):
        try:
            each.migrate()
        except Exception as error:
            failures.append(error)

    threads = [threading.Thread(target=start, args=(each,)) for each in starting]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(GIVE_UP_S)
    assert failures == []
    with starting[1].writing() as session:
        save_rule_sheet(session, RULES)
    for each in starting:
        each.close()


def test_a_connection_that_was_cut_is_opened_again(database, place):
    for begin in (database.reading, database.writing):
        with begin() as session:
            list_rule_sheets(session)
    cut = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid()"
    with psycopg.connect(place.replace("+psycopg", ""), autocommit=True) as connection:
        connection.execute(f"{cut} AND datname = current_database()")
    with database.writing() as session:
        save_rule_sheet(session, RULES)
    with database.reading() as session:
        assert list_rule_sheets(session) == [RULES]


def test_a_commit_is_on_the_disk_also_where_the_server_would_not_wait_for_it(database):
    with database.writing() as session:
        session.connection().exec_driver_sql(
            "DO $$ BEGIN EXECUTE format('ALTER DATABASE %%I SET synchronous_commit = off',"
            " current_database()); END $$"
        )
    database.close()
    with database.writing() as session:
        told = session.connection().exec_driver_sql("SHOW synchronous_commit")
        assert told.scalar() == "on"
