"""Everything that is kept, in one file: a zip that any computer opens, with a list of hashes.

    ninefifty.db        the database, after its last commit (ninefifty.dump of PostgreSQL)
    music/, recordings/, https/
    contents.json       what the file holds, with the size and SHA-256 of each

A file that is being written to meanwhile (a recording that arrives) is taken as far as it is: the
database knows how much of it counts.
"""

import hashlib
import json
import os
import re
import sqlite3
import time
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime
from itertools import chain
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO

from server.keeping.contents import ArchivedFile, Contents
from server.keeping.file_store import far_files, listed_far, near
from server.keeping.opening import database_of
from server.keeping.trouble import Trouble, told
from server.settings import (
    CERTIFICATES_NAME,
    DATABASE_NAME,
    DUMP_NAME,
    MUSIC_NAME,
    RECORDINGS_NAME,
    Settings,
)
from server.store.database import Database
from server.store.disk import disk_trouble
from server.store.durable import sync_folder
from server.store.engines.copies import content_hash, damage_of, is_dump, unreadable_in
from server.store.engines.kind import CopyFailed

FORMAT = "ninefifty-backup"
VERSION = 1
CONTENTS = "contents.json"
FOLDERS = (MUSIC_NAME, CERTIFICATES_NAME, RECORDINGS_NAME)
PIECE = 1024 * 1024
UNFINISHED = ".unfinished"
LONGEST_CONTENTS = 64 * 1024 * 1024
"""Bytes of the list of files: half a million of them."""

_NAME = re.compile(
    rf"{re.escape(DATABASE_NAME)}|{re.escape(DUMP_NAME)}"
    rf"|({'|'.join(FOLDERS)})(/[A-Za-z0-9_-][A-Za-z0-9._-]*)+"
)
_PRESSED = zipfile.ZIP_DEFLATED
_AS_IT_IS = zipfile.ZIP_STORED
"""Sound, video and dumps are pressed already."""


def write_archive(
    settings: Settings, target: Path, folders: tuple[str, ...] = FOLDERS, now_ms: int | None = None
) -> Contents:
    """Write a backup to a new file, also while the app runs; what is written is read again.

    Raises Trouble where the database is damaged, where the copy does not hold what was read, and
    where nothing can be written. Nothing is left at `target` then.
    """
    unfinished = target.with_name(target.name + UNFINISHED)
    made_ms = time.time_ns() // 1_000_000 if now_ms is None else now_ms
    try:
        with TemporaryDirectory(dir=target.parent, prefix=f"{target.name}-") as room:
            copy, unreadable = copied(settings, Path(room))
            contents = _written(settings, unfinished, copy, folders, made_ms, unreadable)
        if read_archive(unfinished) != contents:
            raise Trouble(f"{target} was written, but reads otherwise: its disk may be failing.")
        unfinished.replace(target)
        sync_folder(target.parent)
    except OSError as error:
        raise told(str(target), error, "written") from error
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
    return contents


def copied(settings: Settings, room: Path) -> tuple[Path, int]:
    """The database copied into a folder and looked through; how many documents cannot be read.

    Raises Trouble where it is damaged.
    """
    database = database_of(settings)
    try:
        copy = copy_of(database, room)
        damage = damage_of(copy)
        if not damage:
            return copy, unreadable_in(copy)
    except CopyFailed as error:
        raise Trouble(f"{database.name} was not copied: {error}") from error
    except sqlite3.Error as error:
        if disk_trouble(error):
            raise told(str(room.parent), error, "written") from error
        damage = [str(error)]
    finally:
        database.close()
    raise Trouble(f"{database.name} is damaged, so this would be no backup: {damage[0]}.")


def copy_of(database: Database, room: Path) -> Path:
    """The database as a file of the name it has in a backup. Raises as `backup` does."""
    copy = room / (DATABASE_NAME if database.engine.files else DUMP_NAME)
    database.backup(copy)
    return copy


def _written(
    settings: Settings,
    file: Path,
    database: Path,
    folders: tuple[str, ...],
    made_ms: int,
    unreadable: int,
) -> Contents:
    held: dict[str, ArchivedFile] = {}
    with file.open("wb") as raw:
        with zipfile.ZipFile(raw, "w", _PRESSED, compresslevel=3) as archive:
            how = _AS_IT_IS if is_dump(database) else _PRESSED
            held[database.name] = _add(archive, database, database.name, how)
            local = files_in(settings.data_dir, near(settings, folders))
            for path, name in chain(local, far_files(settings, folders)):
                with suppress(FileNotFoundError):  # It was deleted meanwhile.
                    held[name] = _add(archive, path, name, _AS_IT_IS)
            store, beside = listed_far(settings, folders)
            same = content_hash(database)
            contents = Contents(made_ms, folders, held, unreadable, same, store, beside)
            listed = {"format": FORMAT, "version": VERSION, **contents.listed()}
            archive.writestr(CONTENTS, json.dumps(listed, indent=1))
        raw.flush()
        os.fsync(raw.fileno())
    return contents


def files_in(folder: Path, parts: tuple[str, ...]) -> Iterator[tuple[Path, str]]:
    """The files of some parts of a data folder, with the names they have in a backup."""
    for part in parts:
        for path in sorted((folder / part).rglob("*")):
            name = path.relative_to(folder).as_posix()
            if _NAME.fullmatch(name) and path.is_file():
                yield path, name


def _add(archive: zipfile.ZipFile, path: Path, name: str, how: int) -> ArchivedFile:
    with path.open("rb") as source:
        entry = zipfile.ZipInfo(name, time.localtime()[:6])
        entry.compress_type = how
        entry.external_attr = 0o600 << 16
        with archive.open(entry, "w", force_zip64=True) as target:
            return _passed_on(source, target)


def _passed_on(source: IO[bytes], target: IO[bytes] | None) -> ArchivedFile:
    digest, size = hashlib.sha256(), 0
    while piece := source.read(PIECE):
        digest.update(piece)
        size += len(piece)
        if target is not None:
            target.write(piece)
    return ArchivedFile(size, digest.hexdigest())


def hash_of(path: Path) -> ArchivedFile:
    """Size and hash of a file. Raises OSError."""
    with path.open("rb") as source:
        return _passed_on(source, None)


def read_archive(file: Path) -> Contents:
    """What a backup holds, every byte of it held to its hash. Raises Trouble and OSError."""
    with _opened(file) as archive:
        contents = _contents(archive, file)
        for name, held in contents.files.items():
            with archive.open(name) as source:
                _require(_passed_on(source, None) == held, file, name)
    return contents


def unpack(file: Path, folder: Path) -> Contents:
    """Put what a backup holds into an empty folder, held to its hashes; it is on disk on return.

    Raises Trouble and OSError.
    """
    with _opened(file) as archive:
        contents = _contents(archive, file)
        for name, held in contents.files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            with archive.open(name) as source, path.open("xb") as target:
                _require(_passed_on(source, target) == held, file, name)
                target.flush()
                os.fsync(target.fileno())
    for part in {folder, *(path.parent for path in folder.rglob("*"))}:
        sync_folder(part)
    return contents


def contents_of(file: Path) -> Contents:
    """What a backup says it holds, unchecked. Raises Trouble and OSError."""
    with _opened(file) as archive:
        return _contents(archive, file)


class _opened:  # noqa: N801  (reads as a word of the statement)
    """A backup while it is read: whatever is wrong with its form is told as Trouble."""

    def __init__(self, file: Path) -> None:
        self._file = file

    def __enter__(self) -> zipfile.ZipFile:
        try:
            self._archive = zipfile.ZipFile(self._file)
        except zipfile.BadZipFile as error:
            raise Trouble(f"{self._file} is no backup made here, or is cut.") from error
        return self._archive

    def __exit__(self, _kind: object, error: BaseException | None, _at: object) -> None:
        self._archive.close()
        # What is pressed or locked as nothing here writes it is a RuntimeError.
        if isinstance(error, zipfile.BadZipFile | zlib.error | EOFError | KeyError | RuntimeError):
            raise Trouble(f"{self._file} is damaged: {error}") from error


def _contents(archive: zipfile.ZipFile, file: Path) -> Contents:
    try:
        _require(archive.getinfo(CONTENTS).file_size <= LONGEST_CONTENTS, file, CONTENTS)
        listed = json.loads(archive.read(CONTENTS))
        known = listed.pop("format") == FORMAT and listed.pop("version") == VERSION
        files = {name: ArchivedFile(**held) for name, held in listed.pop("files").items()}
        contents = Contents(files=files, **listed | {"folders": tuple(listed["folders"])})
        datetime.fromtimestamp(contents.made_ms / 1000)
        is_ours = set(contents.folders) <= set(FOLDERS) and contents.size_bytes >= 0
        is_ours = is_ours and sum((contents.beside or {}).values()) >= 0
    except (
        KeyError,
        ValueError,
        TypeError,
        AttributeError,
        OSError,
        ArithmeticError,
        RecursionError,
    ) as error:
        raise Trouble(f"{file} is no backup made here.") from error
    if not known:
        raise Trouble(f"{file} is no backup made here, or one of a later version of the app.")
    if not (is_ours and all(_NAME.fullmatch(name) for name in contents.files)):
        raise Trouble(f"{file} holds files that no backup has. Nothing was taken out of it.")
    _require(contents.database in contents.files, file, contents.database)
    return contents


def _require(is_so: bool, file: Path, name: str) -> None:
    if not is_so:
        raise Trouble(f"{file} is damaged: {name} in it is not what was put there.")
