"""Databases made once and copied: a new file runs all its migrations, which takes most of a test.

What is copied is what the app itself makes of a new file; `tests/store/test_migrations.py` and
`tests/test_demo.py` are about the making.
"""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from server.settings import DATABASE_NAME
from server.store.database import Database
from server.store.devices import let_in
from server.store.first_time import furnish
from tests.factories import NOW_MS
from tests.owner import TOKEN


@cache
def _bare() -> bytes:
    return _made(lambda database: None)


@cache
def _furnished(demo: bool) -> bytes:
    def fill(database):
        with database.writing() as session:
            furnish(session, NOW_MS, demo)
            let_in(session, "mine", "Tablet of the tests", NOW_MS, token=TOKEN)

    return _made(fill)


def _made(fill) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / DATABASE_NAME
        database = Database(path)
        database.migrate()
        fill(database)
        database.close()
        copy = Path(folder) / "copy.db"
        # Also what still stands in the write-ahead log.
        database.backup(copy)
        return copy.read_bytes()


def put_bare(folder: Path) -> Path:
    """Put a database with its tables and nothing in them into a folder; returns its path."""
    return _put(folder, _bare())


def put_furnished(folder: Path, demo: bool) -> Path:
    """Put a new database as the app furnishes it into a folder; one that is there stays."""
    return _put(folder, _furnished(demo))


def _put(folder: Path, content: bytes) -> Path:
    path = folder / DATABASE_NAME
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return path
