"""The engines that can keep the database. Only the store knows that there are two."""

from pathlib import Path

from server.store.engines.kind import StoreEngine
from server.store.engines.sqlite import SqliteEngine


def engine_at(place: Path | str) -> StoreEngine:
    """The engine for a place: SQLite for a file, PostgreSQL for an address."""
    if isinstance(place, Path):
        return SqliteEngine(place)
    # Its driver is installed only where somebody asks for it.
    from server.store.engines.postgres import PostgresEngine

    return PostgresEngine(place)
