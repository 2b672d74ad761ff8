"""The database of a data folder, opened, brought up to date and furnished: or why it cannot be."""

import sqlite3
import time

from sqlalchemy.exc import DatabaseError

from server.domain.base.errors import Conflict
from server.keeping.columns import missing_columns
from server.keeping.trouble import Trouble, told
from server.settings import Settings
from server.store.database import Database
from server.store.first_time import furnish
from server.store.run_logs import derive_again
from server.store.staged import clear_unfinished


def open_database(settings: Settings) -> Database:
    """The database of `settings`, fit to serve. Raises Trouble."""
    path = settings.database_file
    try:
        database = Database(path)
        database.migrate()
        _require_columns(database)
        with database.writing() as session:
            clear_unfinished(session)
            furnish(session, time.time_ns() // 1_000_000, settings.demo)
            derive_again(session)
    except Conflict as error:
        raise Trouble(error.message) from error
    except DatabaseError as error:
        original = error.orig
        raise told(
            str(path),
            original if isinstance(original, sqlite3.Error) else sqlite3.Error(str(error)),
        ) from error
    except OSError as error:
        raise told(str(error.filename or path), error) from error
    return database


def _require_columns(database: Database) -> None:
    with database.connected() as connection:
        missing = missing_columns(connection)
    if missing:
        raise Trouble(
            f"{database.path} lacks {', '.join(missing)}, although it says that it is up to date: "
            "it was changed by a version of the app that was not finished. Bring a backup from "
            f"before that back (they are in {database.path.parent / 'backups'}): ./run restore FILE"
        )
