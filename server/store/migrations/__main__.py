"""Propose the next migration: python -m server.store.migrations "What it does".

With no words only the list of columns is written anew, as after a step that was written by hand.
"""

import sys
import tempfile
from pathlib import Path

from server.store.database import COLUMNS, Database
from server.store.engines.every_table import columns_text
from server.store.migrating import propose_migration


def main() -> None:
    """Write a numbered step that brings the tables from the last step to what they are now."""
    if len(sys.argv) > 2:
        sys.exit('Say what it does: python -m server.store.migrations "Runs have a venue"')
    if len(sys.argv) == 2:
        with tempfile.TemporaryDirectory() as folder:
            database = Database(Path(folder) / "empty.db")
            database.migrate()
            propose_migration(database, sys.argv[1])
            database.close()
    COLUMNS.write_text(columns_text(), encoding="utf-8")


main()
