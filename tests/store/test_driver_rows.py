"""Rows that go to the driver as they are come to the same as those through SQLAlchemy."""

import pytest
from sqlalchemy import bindparam, text
from sqlalchemy.exc import IntegrityError
from sqlmodel import col, select, update

from server.store.engines.driver_rows import DriverRows, NumberedRows
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import create_run
from server.store.tables import EventRow
from tests.engines import on_both
from tests.factories import NOW_MS, RULES, make_routine

pytestmark = on_both

WORDS = ("“Ä” % :x ?", "%(id)s", "", "two\nlines", "{}", '\\u0041 \\ "')


@pytest.fixture
def run_id(database):
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        return create_run(session, make_routine(), RULES, NOW_MS)


def rows_of(run_id, *words, start=0):
    return [
        {"run_id": run_id, "id": f"e{start + n}", "received_ms": NOW_MS, "document": word}
        for n, word in enumerate(words)
    ]


def put(session, rows):
    numbered = NumberedRows(EventRow, "rev", "run_id", "id", "received_ms", "document")
    return list(numbered.put(session.connection(), rows))


def stored(session):
    found = session.exec(select(EventRow.rev, EventRow.document).order_by(col(EventRow.rev)))
    return [tuple(each) for each in found]


def test_rows_have_the_numbers_that_are_told_in_their_order(database, run_id):
    with database.writing() as session:
        first = put(session, rows_of(run_id, *WORDS))
        second = put(session, rows_of(run_id, "last", start=9))
        assert stored(session) == list(zip([*first, *second], [*WORDS, "last"], strict=True))


def test_numbers_go_on_after_what_others_put_in(database, run_id):
    insert = "INSERT INTO event (run_id, id, received_ms, document) VALUES (:run, 'x', 0, 'x')"
    with database.writing() as session:
        put(session, rows_of(run_id, "a"))
        session.connection().execute(text(insert), {"run": run_id})
        put(session, rows_of(run_id, "b", "c", start=1))
        assert [word for _, word in stored(session)] == ["a", "x", "b", "c"]


def test_one_that_is_there_already_lets_none_in(database, run_id):
    with database.writing() as session:
        put(session, rows_of(run_id, "a"))
    with pytest.raises(IntegrityError), database.writing() as session:
        put(session, [*rows_of(run_id, "b", start=1), *rows_of(run_id, "a")])
    with database.reading() as session:
        assert [word for _, word in stored(session)] == ["a"]


def test_a_change_is_made_for_each_row(database, run_id):
    change = DriverRows(update(EventRow).where(col(EventRow.rev) == bindparam("at")), "document")
    with database.writing() as session:
        first, second = put(session, rows_of(run_id, "a", "b"))
        words = [{"at": first, "document": WORDS[0]}, {"at": second, "document": WORDS[1]}]
        change.run(session.connection(), words)
        assert stored(session) == [(first, WORDS[0]), (second, WORDS[1])]
