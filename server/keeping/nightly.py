"""A backup a night, made by the running app itself; the last few are kept.

It is due once nothing was copied since the last three in the morning, so a computer that is off at
night makes it when it is on. It waits while a run is being marked, and is left out while nothing
has changed: then what is kept reaches further back.
"""

import logging
import os
import threading
from collections.abc import Callable
from contextlib import AbstractContextManager, closing, nullcontext, suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy.exc import DatabaseError

from server.keeping.archive import (
    FOLDERS,
    UNFINISHED,
    contents_of,
    copied,
    files_in,
    hash_of,
    write_archive,
)
from server.keeping.contents import Contents
from server.keeping.copies import NIGHTLY
from server.keeping.file_store import near
from server.keeping.opening import database_of
from server.keeping.trouble import Trouble
from server.settings import RECORDINGS_NAME, Settings
from server.store.engines.copies import content_hash
from server.store.run_logs import last_arrival_ms
from server.store.uploads.media import KEPT_FREE, free_bytes

FIRST_LOOK_S, LOOK_EVERY_S = 120.0, 600.0
HOUR = 3
QUIET_MS = 10 * 60_000
"""So long nothing may have been marked: a run on stage has the computer to itself."""

ROOMY = 10
"""Recordings go into it only while so many copies of them would find room."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class LastCopy:
    """The newest backup: when it was made or last found true, and in words what it leaves out."""

    made_ms: int
    leaves_out: str


def left_out(contents: Contents) -> str:
    """What a backup leaves out, and why; "" where it holds everything."""
    if contents.store:
        number = None if contents.beside is None else len(contents.beside)
        if number == 0:
            return ""
        files = "file" if number == 1 else "files"
        said = f"{number} {files}" if number else "the files"
        return f"{said} in {contents.store}: have that store keep copies too"
    if RECORDINGS_NAME not in contents.folders:
        return f"recordings: the disk has no room for {ROOMY} copies of them"
    return ""


class Nightly:
    """Makes backups in the background; `trouble` says why the last one failed, if it did.

    After each look `tidy` is called with the time, ms: it takes out what was deleted long ago,
    which a backup may still hold. Nothing is done while another process is at it: `alone` tells.
    """

    def __init__(
        self,
        settings: Settings,
        *,
        free: Callable[[Path], int] = free_bytes,
        tidy: Callable[[int], None] = lambda _: None,
        alone: Callable[[], AbstractContextManager[bool]] = lambda: nullcontext(True),
    ) -> None:
        self._settings = settings
        self._folder = settings.backups_folder
        # What lies in a store is listed, not fetched: each night all of it would travel, often paid
        # by the byte, onto the one disk that was to be spared it. `./run backup` fetches it.
        self._folders = near(settings, FOLDERS)
        self._least = tuple(each for each in self._folders if each != RECORDINGS_NAME)
        self._free = free
        self._tidy = tidy
        self._alone = alone
        self._ended = threading.Event()
        self.trouble: str | None = None

    def begin(self) -> None:
        """Look now and then whether one is due, on a thread that keeps nothing from ending."""
        threading.Thread(target=self._look_now_and_then, name="nightly", daemon=True).start()

    def end(self) -> None:
        """Look no more."""
        self._ended.set()

    def last(self) -> LastCopy | None:
        """The newest backup here; None where there is none that can be read."""
        with suppress(OSError):  # Another process may just be dropping the oldest.
            for moment, file in reversed(self._kept()):
                with suppress(Trouble):
                    return LastCopy(int(moment * 1000), left_out(contents_of(file)))
        return None

    def look(self, now: datetime) -> Path | None:
        """Make a backup if one is due; returns its file. Trouble is kept in `trouble`."""
        try:
            if not self._is_due(now):
                self.trouble = None  # Another process may have made it.
                return None
            if self._is_marked_now(now):
                return None
            made = self._make(now)
        except (Trouble, OSError, DatabaseError) as error:
            if str(error) != self.trouble:
                _log.warning("No nightly backup: %s", error)
            self.trouble = str(error)
            return None
        self.trouble = None
        return made

    def _look_now_and_then(self) -> None:
        wait_s = FIRST_LOOK_S
        while not self._ended.wait(wait_s):
            wait_s = LOOK_EVERY_S
            try:
                with self._alone() as is_alone:
                    if is_alone:
                        self._look_and_tidy(datetime.now())
            except Exception:
                # The next look may go better; without the thread none would.
                _log.exception("The nightly backup failed.")

    def _look_and_tidy(self, now: datetime) -> None:
        if self._settings.backups:
            self.look(now)
        self._tidy(int(now.timestamp() * 1000))

    def _is_due(self, now: datetime) -> bool:
        night = now.replace(hour=HOUR, minute=0, second=0, microsecond=0)
        since = night if night <= now else night - timedelta(days=1)
        # One that is dated later was made by a clock that went wrong: it says nothing of tonight.
        return not any(since.timestamp() <= made <= now.timestamp() for made, _ in self._kept())

    def _is_marked_now(self, now: datetime) -> bool:
        with closing(database_of(self._settings)) as database, database.reading() as session:
            last = last_arrival_ms(session)
        return bool(0 <= now.timestamp() * 1000 - last < QUIET_MS)

    def _make(self, now: datetime) -> Path | None:
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for left in self._folder.glob(f"nightly-*{UNFINISHED}"):
            left.unlink()
        kept = self._kept()
        if kept and self._is_unchanged(kept[-1][1]):
            _date(kept[-1][1], now)
            return None
        file = self._folder / f"nightly-{now:%Y-%m-%d-%H%M}.zip"
        contents = write_archive(
            self._settings,
            file,
            folders=self._folders if self._has_room() else self._least,
            now_ms=int(now.timestamp() * 1000),
        )
        _date(file, now)
        self._drop_old(contents, now)
        return file

    def _has_room(self) -> bool:
        """Whether recordings may go in. Raises Trouble where not even the rest finds room."""
        sizes = dict.fromkeys(self._folders, 0)
        for path, name in files_in(self._settings.data_dir, self._folders):
            with suppress(OSError):
                sizes[name.split("/")[0]] += path.stat().st_size
        recordings = sizes.pop(RECORDINGS_NAME, 0)
        # The database is copied beside the backup first.
        with closing(database_of(self._settings)) as database:
            least = 2 * database.engine.size_bytes() + sum(sizes.values())
        free = self._free(self._folder) - KEPT_FREE
        if least > free:
            raise Trouble("the disk is too full for one. Make room, or move old copies away.")
        return least + ROOMY * recordings <= free

    def _is_unchanged(self, last: Path) -> bool:
        """Whether a copy would hold what the last one does."""
        try:
            before = contents_of(last)
        except (Trouble, OSError):
            return False
        folders = files_in(self._settings.data_dir, before.folders)
        sizes = {name: path.stat().st_size for path, name in folders}
        held = {name: each.size for name, each in before.files.items() if name != before.database}
        if sizes != held or set(before.folders) != set(self._folders):
            return False
        if before.store != self._settings.files or before.beside is None:
            return False
        with TemporaryDirectory(dir=self._folder, prefix="nightly-") as room:
            copy, _ = copied(self._settings, Path(room))
            if before.same or copy.name != before.database:
                return content_hash(copy) == before.same
            return hash_of(copy) == before.files[before.database]

    def _drop_old(self, contents: Contents, now: datetime) -> None:
        if contents.unreadable:
            return  # The older ones may have what this one lacks.
        kept = self._kept()
        later = [file for made, file in kept if made > now.timestamp()]
        # Those that a wrong clock dated in the future take no place from the others, nor they
        # theirs from them: which of both clocks was wrong is not known here.
        for made in ([file for _, file in kept if file not in later], later):
            for old in made[: -self._settings.backups]:
                old.unlink(missing_ok=True)

    def _kept(self) -> list[tuple[float, Path]]:
        """What was made here, oldest first, with the moment each was made or last found true."""
        return sorted((file.stat().st_mtime, file) for file in self._folder.glob(NIGHTLY))


def _date(file: Path, now: datetime) -> None:
    """Let a backup bear the moment at which it was due, however long it took."""
    os.utime(file, (now.timestamp(), now.timestamp()))
