"""What makes a file outlive a power cut: its content is synced, and so is the folder that names it.

A file that was just made can be gone after a power cut although its content was synced, because
its name stands in the folder (fsync(2), "Notes").
"""

import os
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Return when the names in a folder are on disk. Raises OSError."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def provide_folder(folder: Path, mode: int = 0o777) -> None:
    """Make a folder that may not be there yet; its name is on disk on return. Raises OSError."""
    if not folder.is_dir():
        folder.mkdir(mode=mode, parents=True, exist_ok=True)
        sync_folder(folder.parent)
