"""All that a database holds goes from SQLite to PostgreSQL and back, equal to the last mark."""

import pytest
from sqlmodel import SQLModel

from server.domain.base.errors import Conflict
from server.store.database import Database
from server.store.engines.moving import move_rows
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run
from tests import engines
from tests.factories import NOW_MS, RULES, make_event, make_routine
from tests.prepared import put_furnished, put_nothing


def opened_on(engine, put, folder):
    engines.choose(engine)
    place = put(folder)
    engines.unchoose()
    return Database(place, folder=folder)


def rows_of(database):
    """Table -> its rows, each as it is read, in an order of their own."""
    with database.reading() as session:
        return {
            table.name: sorted(session.connection().execute(table.select()).all(), key=repr)
            for table in SQLModel.metadata.sorted_tables
        }


@pytest.fixture
def there_and_back(tmp_path):
    """The demo on SQLite, an empty PostgreSQL database, and an empty file."""
    made = [
        opened_on(engines.SQLITE, lambda folder: put_furnished(folder, demo=True), tmp_path / "a"),
        opened_on(engines.POSTGRES, put_nothing, tmp_path / "b"),
        opened_on(engines.SQLITE, put_nothing, tmp_path / "c"),
    ]
    yield made
    for each in made:
        each.close()


def test_the_demo_goes_to_postgresql_and_back_row_by_row(there_and_back):
    first, second, third = there_and_back
    counts = move_rows(first, second)
    assert counts["event"] > 100
    move_rows(second, third)
    before = rows_of(first)
    assert rows_of(second) == before
    assert rows_of(third) == before
    assert {name: len(rows) for name, rows in before.items()} == counts


def test_what_comes_after_a_move_counts_on_from_the_last_mark(there_and_back):
    first, second, _ = there_and_back
    move_rows(first, second)
    last = max(row.rev for row in rows_of(second)["event"])
    with second.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        run_id = create_run(session, make_routine(), RULES, NOW_MS)
        note = make_event("e1", "note", text="after")
        assert append_events(session, run_id, [note], NOW_MS).arrived[0].rev == last + 1


def test_nothing_is_put_over_what_a_database_holds(there_and_back):
    first, second, _ = there_and_back
    second.migrate()
    with second.writing() as session:
        save_rule_sheet(session, RULES)
    with pytest.raises(Conflict, match="holds something already"):
        move_rows(first, second)
    assert [row.id for row in rows_of(second)["rule_sheet"]] == [RULES.id]
    assert rows_of(second)["routine"] == []
