"""The copies that lie in a data folder: made nightly, and before the tables were changed."""

import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from server.keeping.archive import read_archive
from server.keeping.trouble import Trouble
from server.store.engines.copies import damage_of, step_in
from server.store.engines.kind import CopyFailed

NIGHTLY = "nightly-*.zip"
BEFORE_A_STEP = "*-before-*-is-left.db"


@dataclass(frozen=True)
class Copy:
    """A copy that was read from end to end, and when it was made."""

    file: Path
    made: datetime

    def __str__(self) -> str:
        return f"{self.file}, of {self.made:%-d %B %Y, %H:%M}"


def newest_good_copy(folder: Path) -> Copy | None:
    """The newest copy in a folder of backups that can be brought back, if one can."""
    try:
        found = [*folder.glob(NIGHTLY), *folder.glob(BEFORE_A_STEP)]
        dated = sorted(((path.stat().st_mtime, path) for path in found), reverse=True)
    except OSError:
        return None
    for moment, path in dated:
        if is_good(path):
            return Copy(path, datetime.fromtimestamp(moment))
    return None


def is_good(file: Path) -> bool:
    """Whether a copy is whole: every hash of a backup, the structure of a bare database."""
    try:
        if file.suffix == ".zip":
            return bool(read_archive(file).files)
        return not damage_of(file) and step_in(file) is not None
    except (Trouble, OSError, CopyFailed, sqlite3.Error):
        return False
