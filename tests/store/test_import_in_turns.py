"""A large import lets others write between its parts, and is whole or not at all."""

import pytest
from sqlmodel import func, select

from server.domain.base.errors import NotFound
from server.store import files, incoming
from server.store.files import import_in_turns
from server.store.routines import list_routines, load_routine
from server.store.rule_sheets import list_rule_sheets, save_rule_sheet
from server.store.tables import EventRow, RoutineRow, RunRow
from server.store.unfinished import clear_unfinished
from tests.exported import export_file
from tests.factories import NOW_MS, RULES, make_events, make_file

LOGS = [make_events({"s1": 61.0}, total_s=180.0, prefix=f"r{number}-") for number in range(30)]
FILE = make_file(runs=LOGS)


@pytest.fixture(autouse=True)
def small_lots(monkeypatch):
    monkeypatch.setattr(incoming, "MOST_ROWS", 20)


def held(database):
    kinds = (RoutineRow, RunRow, EventRow)
    with database.reading() as session:
        return [session.exec(select(func.count()).select_from(kind)).one() for kind in kinds]


def fail_at(database, monkeypatch, lot):
    """Begin an import that fails at this lot of its runs."""
    put, count = incoming.Lot.put, iter(range(1000))

    def fail(self, session):
        if next(count) == lot:
            raise ZeroDivisionError
        put(self, session)

    monkeypatch.setattr(incoming.Lot, "put", fail)
    with pytest.raises(ZeroDivisionError):
        import_in_turns(database, FILE, NOW_MS)


def test_a_file_comes_in_whole_by_many_short_writes(database):
    before = database.writes
    routine = import_in_turns(database, FILE, NOW_MS)
    with database.reading() as session:
        assert export_file(session, routine.id).runs[7].events == FILE.runs[7].events
        assert len(export_file(session, routine.id).runs) == 30
    assert database.writes - before > 6


def test_no_write_of_an_import_is_longer_than_a_lot(database, monkeypatch):
    sizes = []
    put = incoming.Lot.put
    monkeypatch.setattr(
        incoming.Lot, "put", lambda self, session: (sizes.append(self.size), put(self, session))
    )
    import_in_turns(database, FILE, NOW_MS)
    assert max(sizes) <= 20 < sum(sizes)


def test_others_write_while_a_file_comes_in_and_see_none_of_it(database, monkeypatch):
    seen = []

    def look(*arguments):
        with database.writing() as session:
            save_rule_sheet(session, RULES)
            seen.append(len(list_routines(session)))
        return lots(*arguments)

    lots = files.lots
    monkeypatch.setattr(files, "lots", look)
    import_in_turns(database, FILE, NOW_MS)
    assert seen == [0]


def test_an_import_that_fails_leaves_nothing(database, monkeypatch):
    fail_at(database, monkeypatch, lot=4)
    assert held(database) == [0, 0, 0]
    with database.reading() as session:
        assert list_rule_sheets(session) == []


def test_an_import_that_a_power_cut_ends_is_taken_out_at_the_next_start(database, monkeypatch):
    monkeypatch.setattr(files, "_take_out", lambda *_: None)
    fail_at(database, monkeypatch, lot=4)
    assert held(database)[0] == 1
    with database.writing() as session:
        clear_unfinished(session)
    assert held(database) == [0, 0, 0]


def test_a_routine_that_is_on_its_way_in_cannot_be_opened(database, monkeypatch):
    monkeypatch.setattr(files, "_take_out", lambda *_: None)
    fail_at(database, monkeypatch, lot=4)
    with database.reading() as session, pytest.raises(NotFound):
        load_routine(session, FILE.routine.id)
