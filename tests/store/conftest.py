import pytest

from server.store.database import Database
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from tests.factories import NOW_MS, RULES, make_routine
from tests.prepared import put_bare


@pytest.fixture
def place(tmp_path):
    """Where a database is that has its tables and nothing in them."""
    return put_bare(tmp_path)


@pytest.fixture
def database(place, tmp_path):
    """A database with its tables and nothing in them."""
    database = Database(place, folder=tmp_path)
    yield database
    database.close()


@pytest.fixture
def other(place, database, tmp_path):
    """The same database, as another process has it open."""
    other = Database(place, folder=tmp_path)
    yield other
    other.close()


@pytest.fixture
def session(database):
    """A session that writes; what it did is kept when the test ends."""
    with database.writing() as session:
        yield session


@pytest.fixture
def routine(session):
    """A routine that is kept, with its rule sheet."""
    routine = make_routine()
    save_rule_sheet(session, RULES)
    create_routine(session, routine, NOW_MS)
    return routine
