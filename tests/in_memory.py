"""Where the tests keep what they make and throw away: in memory, where there is room for it.

What a database syncs to a disk is most of what many tests wait for, and nothing there outlives
them. Tests of what a disk does bring a disk of their own that tears, fills up or loses.
"""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

IN_MEMORY = Path("/dev/shm")
"""The folder that Linux keeps in memory; a container's may hold no more than 64 MB."""

ENOUGH_BYTES = 2_000_000_000
"""Many times what a whole run makes: it is the memory of the machine, too."""


@contextmanager
def room_for_tests(place: Path = IN_MEMORY) -> Iterator[Path | None]:
    """A new folder in memory for all temporary files, gone at the end; None where there is no room.

    Processes that are started within find it by TMPDIR.
    """
    if not has_room(place):
        yield None
        return
    before = os.environ.get("TMPDIR")
    with tempfile.TemporaryDirectory(prefix="nf-", dir=place, ignore_cleanup_errors=True) as folder:
        os.environ["TMPDIR"] = folder
        try:
            yield Path(folder)
        finally:
            os.environ.pop("TMPDIR")
            if before is not None:
                os.environ["TMPDIR"] = before


def has_room(place: Path) -> bool:
    """Whether a folder can be written to, lets programs run and has room for a whole run."""
    if not os.access(place, os.W_OK | os.X_OK):
        return False
    told = os.statvfs(place)
    return not told.f_flag & os.ST_NOEXEC and told.f_bavail * told.f_frsize >= ENOUGH_BYTES
