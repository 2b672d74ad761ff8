"""Our own modules compiled before the app starts, and not while it runs.

Where the disk is full, Python keeps half of a compiled file and takes it for whole: the page that
needs it would fail from then on, also when there is room again.
"""

import hashlib
import os
import shutil
import sys
from contextlib import suppress
from pathlib import Path

OURS = Path(__file__).resolve().parent
ROOM_BYTES = 200_000_000
"""Free room on the disk with which compiled files are written whole."""


def compile_before(source: Path = OURS) -> None:
    """Compile what changed below `source` since the last start, and write nothing after that.

    Where nothing may be written, as in an image, the app goes without.
    """
    if sys.dont_write_bytecode:
        return
    with suppress(OSError):
        _compile(source, source / "__pycache__" / f"whole.{sys.implementation.cache_tag}")
    sys.dont_write_bytecode = True
    os.environ["PYTHONDONTWRITEBYTECODE"] = "1"  # for the processes that this one starts


def _compile(source: Path, known: Path) -> None:
    before = known.read_text() if known.exists() else ""
    state = _state(source)
    may_write = os.access(source, os.W_OK) and shutil.disk_usage(source).free >= ROOM_BYTES
    if before == state or not may_write:
        return
    import compileall  # only where something changed: it takes a while to load

    if not before:
        print("Compiling Ninefifty (once) ...", flush=True)
    # Before the first time there may be halves that an earlier version left.
    if compileall.compile_dir(source, quiet=2, force=not before, workers=0):
        known.write_text(state)


def _state(source: Path) -> str:
    """What tells whether any module changed: names and times of all."""
    seen = "".join(f"{each} {each.stat().st_mtime_ns}\n" for each in sorted(source.rglob("*.py")))
    return hashlib.sha256(seen.encode()).hexdigest()
