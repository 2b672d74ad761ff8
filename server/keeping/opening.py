"""The database of the settings, opened, brought up to date and furnished: or why it cannot be."""

import time

from sqlalchemy.exc import DatabaseError

from server.domain.base.errors import Conflict
from server.keeping.columns import missing_columns
from server.keeping.trouble import Trouble, told, told_of_database
from server.settings import Settings
from server.store.between.alone import starting
from server.store.between.codes import close_device_code
from server.store.between.terminal_links import drop_links
from server.store.database import Database
from server.store.engines.kind import CopyFailed
from server.store.first_time import furnish
from server.store.run_logs import derive_again
from server.store.unfinished import clear_unfinished_imports
from server.store.uploads.media_place import place_at


def database_of(settings: Settings) -> Database:
    """The database of `settings` as it is, with no question asked of it yet. Raises Trouble."""
    try:
        return Database(settings.database_place, folder=settings.data_dir)
    except ImportError as error:
        raise Trouble(
            f"NINEFIFTY_DATABASE needs what is not installed: {error}. ./run installs it by "
            "itself; elsewhere: pip install '.[school]'"
        ) from error
    except OSError as error:
        raise told(str(error.filename or settings.database_file), error) from error


def open_database(settings: Settings) -> Database:
    """The database of `settings`, fit to serve. Raises Trouble."""
    database = database_of(settings)
    try:
        with starting(database) as is_first:
            database.migrate()
            _require_columns(database, settings)
            clear_unfinished_imports(database)
            if is_first:
                _clear_what_was_left(database, settings)
            with database.writing() as session:
                furnish(session, time.time_ns() // 1_000_000, settings.demo)
                derive_again(session)
    except Conflict as error:
        raise Trouble(error.message) from error
    except DatabaseError as error:
        raise told_of_database(database.name, error) from error
    except CopyFailed as error:
        raise Trouble(f"{database.name} was not brought up to date: {error}") from error
    except OSError as error:
        raise told(str(error.filename or database.name), error) from error
    return database


def _clear_what_was_left(database: Database, settings: Settings) -> None:
    """Take out what the last process that ran left half done; no other is at anything."""
    place_at(settings.files, settings.music_dir).clear()
    with database.writing() as session:
        close_device_code(session)
        drop_links(session)


def _require_columns(database: Database, settings: Settings) -> None:
    with database.connected() as connection:
        missing = missing_columns(connection)
    if missing:
        raise Trouble(
            f"{database.name} lacks {', '.join(missing)}, although it says that it is up to date: "
            "it was changed by a version of the app that was not finished. Bring a backup from "
            f"before that back (they are in {settings.backups_folder}): ./run restore FILE"
        )
