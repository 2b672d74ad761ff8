"""Our own modules compiled before the app starts, and not while it runs.

Where the disk is full, Python keeps half of a compiled file and takes it for whole: the page that
needs it would fail from then on, also when there is room again.
"""

import hashlib
import marshal
import os
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from importlib.util import MAGIC_NUMBER, cache_from_source
from pathlib import Path
from struct import pack

OURS = Path(__file__).resolve().parent


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
    times = dict(sorted(_times(str(source))))
    before, state = known.read_text() if known.exists() else "", _state(times)
    if before == state or not os.access(source, os.W_OK):
        return
    if not before:
        print("Compiling Ninefifty (once) ...", flush=True)
    for module in map(Path, times):
        # Before the first time there may be halves that an earlier version left.
        if not _is_compiled(module, looked_through=bool(before)):
            _compile_one(module)
    known.write_text(state)


def _times(folder: str) -> Iterator[tuple[str, int]]:
    """When each module below a folder was changed, ns; without paths, as the start waits for it."""
    with os.scandir(folder) as entries:
        for each in entries:
            if each.name.endswith(".py"):
                yield each.path, each.stat().st_mtime_ns
            elif each.name != "__pycache__" and each.is_dir(follow_symlinks=False):
                yield from _times(each.path)


def _state(times: Mapping[str, int]) -> str:
    """What tells whether any module changed: names and times of all."""
    return hashlib.sha256(repr(times).encode()).hexdigest()


def _head(module: Path) -> bytes:
    """What a compiled file begins with: of which Python, when and how long its source was."""
    stat = module.stat()
    whens = (0, int(stat.st_mtime) & 0xFFFFFFFF, stat.st_size & 0xFFFFFFFF)
    return MAGIC_NUMBER + pack("<3I", *whens)


def _is_compiled(module: Path, *, looked_through: bool) -> bool:
    """Whether it is compiled as it stands; and whole, unless all were `looked_through` before."""
    try:
        kept = Path(cache_from_source(str(module))).read_bytes()
        if not looked_through:
            marshal.loads(kept[16:])  # noqa: S302  (Python itself would read it next)
    except (OSError, EOFError, ValueError, TypeError):
        return False
    return kept.startswith(_head(module))


def _compile_one(module: Path) -> None:
    """Write the compiled file of a module; raises OSError, and then nothing of it is kept."""
    target = Path(cache_from_source(str(module)))
    code = compile(module.read_bytes(), str(module), "exec", dont_inherit=True)
    target.parent.mkdir(exist_ok=True)
    written = target.with_name(f"{target.name}.{os.getpid()}")
    try:
        written.write_bytes(_head(module) + marshal.dumps(code))
        written.replace(target)
    finally:
        written.unlink(missing_ok=True)
