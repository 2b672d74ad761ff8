"""On which engine the tests keep their databases: SQLite, or the PostgreSQL of `postgres_server`.

`--engine postgresql` runs all that goes through `tests/prepared.py` on PostgreSQL; some tests are
run on both in every run, see `on_both`. A folder of a test stands for its database on either.
"""

from hashlib import sha256
from pathlib import Path

import pytest

from server.settings import DATABASE_NAME
from tests.postgres_server import Missing, shared_server

SQLITE, POSTGRES = "sqlite", "postgresql"

on_both = pytest.mark.parametrize("engine", [SQLITE, POSTGRES], indirect=True)

only_sqlite = pytest.mark.only_sqlite
"""A test of the file itself, or of SQLite's own ways."""

_chosen = [SQLITE]
_made: dict[Path, str] = {}


def chosen() -> str:
    """The engine that databases are made on now."""
    return _chosen[-1]


def choose(engine: str) -> None:
    """Make databases on this engine until `unchoose`. Skips the test where it is not there."""
    if engine == POSTGRES:
        try:
            shared_server()
        except Missing as missing:
            pytest.skip(str(missing))
    _chosen.append(engine)


def unchoose() -> None:
    """Make databases again on the engine that was chosen before."""
    _chosen.pop()


def place_in(folder: Path) -> Path | str:
    """Where the database of a folder is on the chosen engine; it need not be there yet."""
    if chosen() == SQLITE:
        return folder / DATABASE_NAME
    return shared_server().address(_name_of(folder))


def is_there(folder: Path) -> bool:
    """Whether the database of a folder was made already."""
    return folder in _made if chosen() == POSTGRES else (folder / DATABASE_NAME).exists()


def make_from(folder: Path, template: str | None = None) -> str:
    """Make the PostgreSQL database of a folder, as a copy of another; returns its name."""
    name = _name_of(folder)
    like = f' TEMPLATE "{template}"' if template else ""
    shared_server().do(f'CREATE DATABASE "{name}"{like}')
    _made[folder] = name
    return name


def drop_below(folder: Path) -> None:
    """Drop the PostgreSQL databases of a folder and of all below it: eight megabytes each."""
    gone = [made for made in _made if made.is_relative_to(folder)]
    if gone:
        drops = (f'DROP DATABASE IF EXISTS "{_made.pop(made)}" WITH (FORCE)' for made in gone)
        shared_server().do(*drops)


def _name_of(folder: Path) -> str:
    return f"t{sha256(str(folder).encode()).hexdigest()[:20]}"
