"""Who may read what is kept: on this machine nobody but the one who runs the app."""

import os
from contextlib import suppress
from pathlib import Path

from server.settings import (
    BACKUPS_NAME,
    CERTIFICATES_NAME,
    DATABASE_NAME,
    MUSIC_NAME,
    RECORDINGS_NAME,
)

OWNER_ONLY = 0o077
"""The mask that takes every right of group and others away from what is made."""

_OURS = (
    f"{DATABASE_NAME}*", MUSIC_NAME, RECORDINGS_NAME, CERTIFICATES_NAME, BACKUPS_NAME,
)  # fmt: skip


def keep_private(data: Path) -> None:
    """Make what this process writes from now on its owner's, and what lies in `data` already.

    The data folder itself is left as it is if it was made by somebody: they may share it on
    purpose; only what is in it is ours.
    """
    os.umask(OWNER_ONLY)
    for path in (found for pattern in _OURS for found in data.glob(pattern)):
        with suppress(OSError):  # Somebody else's, or a disk that knows no rights.
            path.chmod(path.stat().st_mode & ~OWNER_ONLY)
