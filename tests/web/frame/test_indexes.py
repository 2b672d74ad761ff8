"""Thousands of routines cost a page no more than one: what it asks of the database uses an index.

SQLite plans without looking at how many rows there are, so the demo tells of any size.
"""

import sqlite3
from contextlib import contextmanager
from contextvars import ContextVar
from threading import current_thread

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine

from server.demo import demo_file
from server.settings import DATABASE_NAME
from tests.engines import only_sqlite
from tests.web.conftest import app_in

# PostgreSQL plans by how many rows there are; the statements and the indexes are the same.
pytestmark = only_sqlite

GROWING = {
    "routine", "revision", "run", "event", "plan", "recording", "take", "settled_remark", "packed",
    "learning_mark", "sitting", "taster", "log_device", "watcher", "track",
}  # fmt: skip
"""Tables that grow with routines and runs."""

ROUTINE, RUN = f"/routines/{demo_file().routine.id}", f"/runs/{demo_file().runs[-1].id}"
PLACES = (
    "", "details", "drinks", "script", "claims", "plan", "plan/risk", "plan/next", "rehearse",
    "runs", "runs/remarks", "drift", "drift/compare", "prepare", "prep", "shopping", "station",
    "learn", "learn/cards", "tastings", "takes", "words", "declaration",
)  # fmt: skip
PAGES = (
    "/", "/deleted", "/recordings", "/rules", "/devices", RUN, f"{RUN}/stage", f"{RUN}/watchers",
    f"/api{RUN}/events", *(f"{ROUTINE}/{place}".removesuffix("/") for place in PLACES),
)  # fmt: skip

_hears: ContextVar[list | None] = ContextVar("hears", default=None)

SHOWN_WHOLE = {"/recordings": ("recording", "take")}
"""What a page lists or sums from end to end: there all of a table is what is asked for."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """The demo in a database of its own: its folder and a browser on it."""
    folder = tmp_path_factory.mktemp("indexes")
    with app_in(folder, demo=True) as client:
        client.app.state.hearing.begun()  # It looks once for what waits; no page does.
        yield folder, client


@contextmanager
def asked():
    """What is asked of the database by requests meanwhile, with what was put into each statement.

    A request is answered in the context of who makes it, but for marks, which one thread writes.
    What the app does by itself meanwhile, such as looking for takes to hear, is not the page's.
    """
    found = []

    def hear(_connection, _cursor, statement, parameters, _context, many):
        if _hears.get() is found or current_thread().name == "grouped writer":
            found.append((statement, parameters[0] if many else parameters))

    event.listen(Engine, "before_cursor_execute", hear)
    before = _hears.set(found)
    try:
        yield found
    finally:
        _hears.reset(before)
        event.remove(Engine, "before_cursor_execute", hear)


def scanned(folder, statements):
    """Statement -> the tables it goes through from end to end, of those that grow."""
    file = sqlite3.connect(folder / DATABASE_NAME)
    plans = {
        statement: [row[3] for row in file.execute(f"EXPLAIN QUERY PLAN {statement}", parameters)]
        for statement, parameters in statements
        if statement.lstrip().upper().startswith(("SELECT", "UPDATE", "DELETE"))
    }
    file.close()
    whole = {
        statement: [step for step in plan if _goes_through_all(step)]
        for statement, plan in plans.items()
    }
    return {statement: steps for statement, steps in whole.items() if steps}


def _goes_through_all(step):
    words = step.split()
    return words[0] == "SCAN" and words[1] in GROWING and "ix_routine_position" not in words


@pytest.mark.parametrize("path", PAGES)
def test_no_page_goes_through_a_whole_table(shop, path):
    folder, client = shop
    with asked() as statements:
        answer = client.get(path)
    assert answer.status_code == 200
    assert statements
    shown_whole = {f"SCAN {table}" for table in SHOWN_WHOLE.get(path, ())}
    found = scanned(folder, statements)
    assert {what: steps for what, steps in found.items() if not shown_whole >= set(steps)} == {}


def test_a_mark_goes_through_no_whole_table(shop):
    folder, client = shop
    run = client.post(f"{ROUTINE}/rehearse").headers["location"].split("/")[2]
    mark = {"device_id": "tablet", "boot_id": "boot", "wall_ms": 0}
    with asked() as statements:
        for seq, kind in enumerate(("start", "resume", "finish")):
            event = mark | {"id": f"{run}-{seq}", "seq": seq, "kind": kind, "mono_ms": seq * 1000}
            assert client.post(f"/api/runs/{run}/events", json={"events": [event]}).is_success
    assert any(statement.startswith("INSERT INTO event") for statement, _ in statements)
    assert scanned(folder, statements) == {}


def test_a_statement_without_an_index_is_told(shop):
    folder, _ = shop
    assert scanned(folder, [("SELECT id FROM run WHERE label = ?", ("x",))]) != {}
