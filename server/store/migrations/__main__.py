"""Propose the next migration: python -m server.store.migrations "What it does"."""

import sys
import tempfile
from pathlib import Path

from server.store.database import Database
from server.store.migrating import propose_migration


def main() -> None:
    """Write a numbered step that brings the tables from the last step to what they are now."""
    if len(sys.argv) != 2:
        sys.exit('Say what it does: python -m server.store.migrations "Runs have a venue"')
    with tempfile.TemporaryDirectory() as folder:
        database = Database(Path(folder) / "empty.db")
        database.migrate()
        propose_migration(database, sys.argv[1])
        database.close()


main()
