"""Bringing a backup back, beside what is there and never over it.

All of it is unpacked and checked in a folder of its own first. Only then is what it takes the place
of moved into a folder named for the day, and the backup into its place, the database last: a power
cut on the way leaves no database, and the next start asks instead of beginning anew.
"""

import shutil
import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from server.keeping.archive import Contents, unpack
from server.keeping.damage import MAGIC
from server.keeping.moved_aside import move_aside, with_its_log
from server.keeping.trouble import Trouble, told
from server.settings import DATABASE_NAME, Settings
from server.store.copying import copy_database, damage_in, step_of
from server.store.durable import sync_folder

ROOM = "restoring"


@dataclass(frozen=True)
class Restored:
    """What came back, when it was made, and where what was there before is now."""

    folders: tuple[str, ...]
    made: datetime
    before: Path | None


def restore(settings: Settings, file: Path, now: datetime) -> Restored:
    """Bring back a backup, or a bare database as older versions made it.

    What a backup does not hold (recordings, say) stays as it is. The caller holds the data folder.
    Raises Trouble, and then nothing was changed.
    """
    data, room = settings.data_dir, settings.data_dir / ROOM
    try:
        shutil.rmtree(room, ignore_errors=True)
        room.mkdir(mode=0o700)
        try:
            contents = _unpacked(file, room)
            _require_sound(file, room / DATABASE_NAME)
            before = move_aside(data, (*with_its_log(DATABASE_NAME), *contents.folders), now)
            _move_in(room, data, contents.folders)
        finally:
            shutil.rmtree(room, ignore_errors=True)
    except OSError as error:
        raise told(error.filename or str(file), error) from error
    return Restored(contents.folders, datetime.fromtimestamp(contents.made_ms / 1000), before)


def _unpacked(file: Path, room: Path) -> Contents:
    with file.open("rb") as start:
        is_database = start.read(len(MAGIC)) == MAGIC
    if not is_database:
        return unpack(file, room)
    try:
        copy_database(file, room / DATABASE_NAME)
    except sqlite3.Error as error:
        raise Trouble(f"{file} is damaged: {error}. Nothing was changed.") from error
    return Contents(int(file.stat().st_mtime * 1000), (), {})


def _require_sound(file: Path, database: Path) -> None:
    try:
        wrong = damage_in(database)
        step = None if wrong else step_of(database)
    except sqlite3.Error as error:
        wrong, step = [str(error)], None
    if wrong:
        raise Trouble(f"The database in {file} is damaged: {wrong[0]}. Nothing was changed.")
    if step is None:
        raise Trouble(f"{file} holds no database of this app. Nothing was changed.")


def _move_in(room: Path, data: Path, folders: tuple[str, ...]) -> None:
    for name in folders:
        if (room / name).exists():
            (room / name).rename(data / name)
    sync_folder(data)
    (room / DATABASE_NAME).rename(data / DATABASE_NAME)
    sync_folder(data)
