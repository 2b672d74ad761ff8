"""One server a folder: two would not hear of each other's marks, and both would write.

The lock is the system's own, so it goes with the process that holds it, however that ends.
"""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from server.keeping.trouble import Trouble, told

LOCK_NAME = "in-use"


class FolderHold:
    """A data folder that is this process's alone."""

    def __init__(self, handle: int) -> None:
        self._handle = handle

    def say_where(self, address: str) -> None:
        """Tell those who come later where this one can be opened."""
        os.ftruncate(self._handle, 0)
        os.pwrite(self._handle, address.encode(), 0)


@contextmanager
def alone_with(folder: Path, with_others: bool = False) -> Iterator[FolderHold]:
    """Hold a data folder within this block. Raises Trouble where another holds it already.

    Servers that hear of each other hold it together, and keep out whoever would be alone.
    """
    path = folder / LOCK_NAME
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise told(str(path), error) from error
    try:
        _hold(handle, folder, fcntl.LOCK_SH if with_others else fcntl.LOCK_EX)
        os.ftruncate(handle, 0)
        yield FolderHold(handle)
    finally:
        os.close(handle)


def _hold(handle: int, folder: Path, how: int) -> None:
    try:
        fcntl.flock(handle, how | fcntl.LOCK_NB)
    except BlockingIOError as error:
        address = os.pread(handle, 200, 0).decode(errors="replace")
        where = f"open {address}, or" if address else "it is just starting;"
        raise Trouble(
            f"Another Ninefifty uses {folder} already: {where} stop that one first. "
            "Two on the same data would not hear of each other's marks."
        ) from error
    except OSError as error:
        raise told(str(folder), error) from error
