"""Bringing a backup back, beside what is there and never over it.

All of it is unpacked and checked in a folder of its own first. Only then is what it takes the place
of moved into a folder named for the day, and the backup into its place, the database last: a power
cut on the way leaves no database, and the next start asks instead of beginning anew.
"""

import shutil
import sqlite3
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from server.keeping.archive import hash_of, unpack
from server.keeping.contents import Contents
from server.keeping.damage import MAGIC
from server.keeping.file_store import put_far
from server.keeping.moved_aside import move_aside, new_folder
from server.keeping.moving import require_unused
from server.keeping.opening import database_of
from server.keeping.trouble import Trouble, told
from server.settings import DATABASE_NAME, DUMP_NAME, Settings
from server.store.copying import copy_database
from server.store.database import Database
from server.store.durable import sync_folder
from server.store.engines.copies import damage_of, is_dump, step_in
from server.store.engines.kind import CopyFailed

ROOM = "restoring"


@dataclass(frozen=True)
class Restored:
    """What came back, and where what was there before is now."""

    contents: Contents
    before: Path | None

    @property
    def made(self) -> datetime:
        """When it was made."""
        return datetime.fromtimestamp(self.contents.made_ms / 1000)


def restore(settings: Settings, file: Path, now: datetime) -> Restored:
    """Bring back a backup, or a bare database as older versions made it.

    What a backup does not hold (recordings, say) stays as it is; in a store of files nothing is
    replaced, for a name there stands for one content. The caller holds the data folder.
    Raises Trouble, and then nothing was changed.
    """
    data, room = settings.data_dir, settings.data_dir / ROOM
    database = database_of(settings)
    try:
        shutil.rmtree(room, ignore_errors=True)
        room.mkdir(mode=0o700)
        try:
            contents = _unpacked(file, room)
            copy = room / contents.database
            _require_sound(database, file, copy)
            _require_same_engine(database, file, copy)
            require_unused(database)
            here = replace(contents, folders=put_far(settings, room, contents.folders))
            before = _exchanged(database, data, room, here, now)
        finally:
            shutil.rmtree(room, ignore_errors=True)
    except OSError as error:
        raise told(error.filename or str(file), error) from error
    except CopyFailed as error:
        raise Trouble(f"{file} was not brought back: {error}. Nothing was changed.") from error
    finally:
        database.close()
    return Restored(contents, before)


def _exchanged(
    database: Database, data: Path, room: Path, contents: Contents, now: datetime
) -> Path | None:
    """Put what is in `room` into its place; returns where what was there before is now."""
    copy, files = room / contents.database, database.engine.files
    if files:
        before = move_aside(data, (*files, *contents.folders), now)
        _move_in(room, data, contents.folders)
        database.engine.put_back(copy, None)
        return before
    # It goes in one transaction, or fails with nothing changed: so it is the first.
    aside = new_folder(data, now)
    database.engine.put_back(copy, aside)
    move_aside(data, contents.folders, now, aside)
    _move_in(room, data, contents.folders)
    return aside


def _unpacked(file: Path, room: Path) -> Contents:
    with file.open("rb") as start:
        is_database = start.read(len(MAGIC)) == MAGIC
    if not is_database and not is_dump(file):
        return unpack(file, room)
    copy = room / (DATABASE_NAME if is_database else DUMP_NAME)
    try:
        if is_database:
            copy_database(file, copy)
        else:
            shutil.copyfile(file, copy)
    except sqlite3.Error as error:
        raise Trouble(f"{file} is damaged: {error}. Nothing was changed.") from error
    return Contents(int(file.stat().st_mtime * 1000), (), {copy.name: hash_of(copy)})


def _require_sound(database: Database, file: Path, copy: Path) -> None:
    wrong = damage_of(copy)
    try:
        step = None if wrong else step_in(copy)
    except (CopyFailed, sqlite3.Error) as error:
        wrong, step = [str(error)], None
    if wrong:
        raise Trouble(f"The database in {file} is damaged: {wrong[0]}. Nothing was changed.")
    if step is None:
        raise Trouble(f"{file} holds no database of this app. Nothing was changed.")
    # Imported here: Alembic is heavy, and the command to back up does without.
    from server.store.migrating import knows_step

    if not knows_step(database.migrations, step):
        raise Trouble(
            f"{file} holds a database of a later version of the app (step {step}), or of another. "
            "Bring it back with that version. Nothing was changed."
        )


def _require_same_engine(database: Database, file: Path, copy: Path) -> None:
    if is_dump(copy) and database.engine.files:
        raise Trouble(
            f"{file} is of a PostgreSQL database: bring it back to one with ./run restore "
            "--database ADDRESS FILE. From there ./run move-database leads to a data folder. "
            "Nothing was changed."
        )
    if not is_dump(copy) and not database.engine.files:
        raise Trouble(
            f"{file} is of a data folder: bring it back to an empty one without "
            f"NINEFIFTY_DATABASE, then: ./run move-database THAT-FOLDER {database.name}. "
            "Nothing was changed."
        )


def _move_in(room: Path, data: Path, folders: tuple[str, ...]) -> None:
    for name in folders:
        if (room / name).exists():
            (room / name).rename(data / name)
    sync_folder(data)
