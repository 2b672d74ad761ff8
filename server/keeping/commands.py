"""`./run backup` and `./run restore`: what they do and what they say."""

import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from server.domain.base.number_words import count
from server.keeping.archive import write_archive
from server.keeping.contents import Contents
from server.keeping.file_store import lost_far, require_file_store
from server.keeping.one_server import alone_with
from server.keeping.private import keep_private
from server.keeping.restoring import restore
from server.keeping.trouble import Trouble
from server.settings import CERTIFICATES_NAME, MUSIC_NAME, RECORDINGS_NAME, Settings

MOST_SHOWN = 10
"""Names of files that are missing."""


def back_up(settings: Settings, target: Path) -> None:
    """Copy everything to a new file; the app may run meanwhile. Raises Trouble."""
    source = settings.database_file
    if not settings.database and not source.exists():
        raise Trouble(f"There is nothing to back up: {source} does not exist.")
    if target.exists():
        raise Trouble(
            f"{target} exists already, and a backup replaces nothing. Choose another name."
        )
    keep_private(settings.data_dir)
    require_file_store(settings)
    contents = write_archive(settings, target)
    print(f"Backed up {settings.data_dir}{_beside(settings)} to {target}: {_said(contents)}.")
    print("It was read again and every hash agrees. ./run restore brings it back.")
    if contents.unreadable:
        print(
            f"{contents.unreadable} of the documents in it cannot be read. They could not be "
            "before either: look at the page of routines.",
            file=sys.stderr,
        )


def bring_back(settings: Settings, file: Path) -> None:
    """Put a backup into the data folder, what was there beside it. Raises Trouble."""
    if not file.is_file():
        raise Trouble(f"There is no file {file}.")
    require_file_store(settings)
    settings.data_dir.mkdir(mode=0o700, parents=True, exist_ok=True)
    keep_private(settings.data_dir)
    with alone_with(settings.data_dir):
        restored = restore(settings, file, datetime.now())
    print(f"Restored {file}, of {restored.made:%-d %B %Y, %H:%M}, to {settings.data_dir}.")
    for line in _left_out(settings, restored.contents):
        print(line)
    if restored.before is not None:
        print(f"What was there before is kept in {restored.before}.")
        print("Delete that folder once all is as you want it.")
    print("Start the app as usual.")


def _left_out(settings: Settings, contents: Contents) -> Iterator[str]:
    """What a backup that came back does not hold, and where that is now."""
    if RECORDINGS_NAME not in contents.folders and not contents.store:
        yield "It holds no recordings; those that were there are left in their place."
    if not contents.store:
        return
    if contents.beside is None:
        yield f"It holds none of the files in {contents.store}, and could not ask which they were."
        return
    number = len(contents.beside)
    files = "the one file that lay" if number == 1 else f"the {number} files that lay"
    holds = f"It holds none of {files} in {contents.store} when it was made"
    lost = lost_far(settings, contents.beside)
    if not number:
        yield f"No files lay in {contents.store} when it was made."
    elif lost is None:
        yield f"{holds}, and that cannot be asked now: see the line of the log above."
    elif not lost:
        yield f"{holds}: all that it lists is there."
    else:
        where = f"are not in {settings.files}"
        if not settings.files:
            where = "cannot be had, for NINEFIFTY_FILES names no store"
        shown = ", ".join(lost[:MOST_SHOWN]) + (" and others" if len(lost) > MOST_SHOWN else "")
        yield f"{holds}. Of these {len(lost)} {where}: {shown}."
        yield "The app calls them missing. A file of ./run backup holds them, if one was made."


def _beside(settings: Settings) -> str:
    database = " and its PostgreSQL database" if settings.database else ""
    return database + (f" and {settings.files}" if settings.files else "")


def _said(contents: Contents) -> str:
    parts = ["the database"]
    for folder, noun in ((MUSIC_NAME, "track"), (RECORDINGS_NAME, "recording")):
        parts.append(count(contents.count(folder), noun))
    held = ", ".join(parts)
    if contents.count(CERTIFICATES_NAME):
        held += " and the certificates"
    return f"{held}, {contents.size_bytes / 1e6:.1f} MB"
