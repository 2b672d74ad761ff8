"""What is taken out of its place without being lost: into a folder with the date in its name."""

from datetime import datetime
from pathlib import Path

from server.store.durable import sync_folder

REPLACED = "replaced"


def move_aside(
    data: Path, names: tuple[str, ...], now: datetime, folder: Path | None = None
) -> Path | None:
    """Move some of what a data folder holds into one named for the moment; None if none is there.

    `folder` is that one where it was made already. Raises OSError.
    """
    here = [data / name for name in names if (data / name).exists()]
    if not here:
        return folder
    folder = folder or new_folder(data, now)
    for path in here:
        path.rename(folder / path.name)
    sync_folder(folder)
    sync_folder(data)
    return folder


def with_its_log(database_name: str) -> tuple[str, ...]:
    """The names of a database and of what SQLite keeps beside it: they belong together."""
    return database_name, f"{database_name}-wal", f"{database_name}-shm"


def new_folder(data: Path, now: datetime) -> Path:
    """A folder for what is moved aside, named for the moment. Raises OSError."""
    stem = f"{REPLACED}-{now:%Y-%m-%d-%H%M%S}"
    number = 1
    while True:
        folder = data / (stem if number == 1 else f"{stem}-{number}")
        try:
            folder.mkdir(mode=0o700)
        except FileExistsError:
            number += 1
        else:
            return folder
