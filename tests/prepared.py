"""Databases made once and copied: a new one runs all its migrations, which takes most of a test.

What is copied is what the app itself makes of a new database; `tests/store/test_migrations.py` and
`tests/test_demo.py` are about the making.
"""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from server.settings import DATABASE_NAME
from server.store.database import Database
from server.store.devices import let_in
from server.store.first_time import furnish
from tests import engines
from tests.factories import NOW_MS
from tests.owner import TOKEN


def _fill_nothing(database):
    pass


def _fill(demo):
    def fill(database):
        with database.writing() as session:
            furnish(session, NOW_MS, demo)
            let_in(session, "mine", "Tablet of the tests", NOW_MS, token=TOKEN)

    return fill


_FILLS = {"bare": _fill_nothing, "empty": _fill(False), "demo": _fill(True)}


@cache
def _file(kind: str) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / DATABASE_NAME
        database = Database(path)
        database.migrate()
        _FILLS[kind](database)
        database.close()
        copy = Path(folder) / "copy.db"
        # Also what still stands in the write-ahead log.
        database.backup(copy)
        return copy.read_bytes()


@cache
def _template(kind: str) -> str:
    """Name of the PostgreSQL database that others are made as copies of."""
    folder = Path("/templates") / kind
    name = engines.make_from(folder)
    database = Database(engines.place_in(folder), folder=folder)
    database.migrate()
    _FILLS[kind](database)
    database.close()
    return name


def put_bare(folder: Path) -> Path | str:
    """Put a database with its tables and nothing in them into a folder; returns its place."""
    return _put(folder, "bare")


def put_nothing(folder: Path) -> Path | str:
    """Make room for a new database in a folder, one that has no tables yet; returns its place."""
    folder.mkdir(parents=True, exist_ok=True)
    if engines.chosen() == engines.POSTGRES:
        engines.make_from(folder)
    return engines.place_in(folder)


def put_furnished(folder: Path, demo: bool) -> Path | str:
    """Put a new database as the app furnishes it into a folder; one that is there stays."""
    return _put(folder, "demo" if demo else "empty")


def put_file(folder: Path) -> None:
    """The same, empty, as a file, whatever engine the tests chose; one that is there stays."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / DATABASE_NAME
    if not path.exists():
        path.write_bytes(_file("empty"))


def _put(folder: Path, kind: str) -> Path | str:
    place = engines.place_in(folder)
    if not engines.is_there(folder):
        folder.mkdir(parents=True, exist_ok=True)
        if isinstance(place, Path):
            place.write_bytes(_file(kind))
        else:
            engines.make_from(folder, _template(kind))
    return place
