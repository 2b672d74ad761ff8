"""Notices between two processes of one PostgreSQL database, and what only one of them does."""

import time
from queue import SimpleQueue
from threading import Thread

import pytest
from sqlalchemy import event, text
from sqlmodel import select

from server.store.between.alone import alone_at, starting
from server.store.between.posted import PostedNotices
from server.store.database import Database
from server.store.first_time import furnish
from server.store.routines import reserve_routine
from server.store.tables import RoutineRow, RuleSheetRow
from server.store.unfinished import AN_IMPORT, clear_unfinished_imports
from tests import engines
from tests.factories import NOW_MS
from tests.prepared import put_bare

pytestmark = pytest.mark.parametrize("engine", [engines.POSTGRES], indirect=True)
WITHIN_S = 20
END_ALL_OTHERS = (
    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
    " WHERE pid <> pg_backend_pid() AND datname = current_database()"
)


@pytest.fixture
def processes(engine, tmp_path):
    """Two databases as two processes hold them, each with its notices and what it heard."""
    place = put_bare(tmp_path)
    both = [_Process(place, tmp_path) for _ in range(2)]
    yield both
    for each in both:
        each.end()


class _Process:
    def __init__(self, place, folder):
        self.database = Database(place, folder=folder)
        self.notices = PostedNotices(self.database)
        self.heard, self.gaps = SimpleQueue(), SimpleQueue()
        for kind in ("news", "chat"):
            self.notices.hear(kind, lambda notices: [self.heard.put(each) for each in notices])
        self.notices.after_gap(lambda: self.gaps.put("gap"))
        self.notices.begin()

    def hears(self):
        return self.heard.get(timeout=WITHIN_S)

    def end(self):
        self.notices.close()
        self.database.close()


def test_what_is_told_with_a_transaction_reaches_all_processes_in_order(processes):
    a, b = processes
    for number in range(3):
        with (a, b)[number % 2].database.writing() as session:
            (a, b)[number % 2].notices.tell(session, "news", f"run-{number}", first=number)
    for each in processes:
        heard = [each.hears() for _ in range(3)]
        assert [notice.about for notice in heard] == ["run-0", "run-1", "run-2"]
        assert (heard[1].more, heard[1].sender) == ({"first": 1}, b.notices.own)


def test_what_is_told_of_many_at_once_goes_out_with_one_statement_in_order(processes):
    a, b = processes
    told = {f"run-{number}": {"first": number} for number in (10, 9, 11)}
    asked = []
    with a.database.writing() as session:
        event.listen(session.connection(), "before_cursor_execute", lambda *got: asked.append(got))
        a.notices.tell_of_many(session, "news", told)
    assert len(asked) == 1
    heard = [b.hears() for _ in told]
    assert [(notice.about, notice.more) for notice in heard] == list(told.items())


def test_what_is_told_with_a_transaction_that_fails_reaches_nobody(processes):
    a, b = processes
    with pytest.raises(RuntimeError), a.database.writing() as session:  # noqa: PT012
        a.notices.tell(session, "news", "never")
        raise RuntimeError
    a.notices.say("chat", "after it")
    assert b.hears().about == "after it"


def test_who_lost_the_connection_is_told_that_something_may_be_missed(processes):
    a, b = processes
    assert b.gaps.get(timeout=WITHIN_S) == "gap"
    with a.database.engine.writer.connect() as connection:
        connection.exec_driver_sql(END_ALL_OTHERS)
    assert b.gaps.get(timeout=WITHIN_S) == "gap"
    assert a.gaps.get(timeout=WITHIN_S) == a.gaps.get(timeout=WITHIN_S) == "gap"
    a.notices.say("chat", "again")
    assert b.hears().about == "again"


def test_names_in_any_script_go_over_the_wire(processes):
    processes[0].notices.say("chat", "r", name="Žofie 渡辺 'x' \\")
    assert processes[1].hears().more == {"name": "Žofie 渡辺 'x' \\"}


def test_only_one_process_at_a_time_makes_the_nightly_backup(processes):
    a, b = processes
    with (
        alone_at(a.database, "night", wait=False) as first,
        alone_at(b.database, "night", wait=False) as second,
    ):
        assert (first, second) == (True, False)
    with alone_at(b.database, "night", wait=False) as then:
        assert then


def test_a_start_beside_one_that_runs_is_not_the_first(processes):
    with starting(processes[0].database) as is_first:
        assert not is_first


def wait_for_one_at(database):
    """Until another waits for a lock that is held."""
    waiting = text("SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted")
    give_up = time.monotonic() + WITHIN_S
    while time.monotonic() < give_up:
        with database.reading() as session:
            if session.connection().scalar(waiting):
                return
        time.sleep(0.02)
    raise AssertionError("nobody waits")


def test_the_first_start_is_through_before_the_next_begins(engine, tmp_path):
    place, order = put_bare(tmp_path), SimpleQueue()
    one, two = (Database(place, folder=tmp_path) for _ in range(2))

    def second():
        with starting(two) as is_first, two.writing() as session:
            order.put(("second", is_first))
            furnish(session, NOW_MS, demo=False)

    with starting(one) as is_first:
        thread = Thread(target=second)
        thread.start()
        order.put(("first", is_first))
        wait_for_one_at(one)
        with one.writing() as session:
            furnish(session, NOW_MS, demo=False)
    thread.join(WITHIN_S)
    assert [order.get(), order.get()] == [("first", True), ("second", False)]
    with one.reading() as session:
        assert len(session.exec(select(RuleSheetRow)).all()) == 1
    one.close()
    two.close()


def test_an_import_under_way_elsewhere_is_not_cleared_away(processes):
    a, b = processes
    with a.database.writing() as session:
        reserve_routine(session, "coming in")
    with alone_at(a.database, AN_IMPORT, wait=True):
        clear_unfinished_imports(b.database)
        assert coming_in(b) == ["coming in"]
    clear_unfinished_imports(b.database)
    assert coming_in(b) == []


def coming_in(process):
    with process.database.reading() as session:
        return list(session.exec(select(RoutineRow.id)).all())
