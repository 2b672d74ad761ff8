"""A disk that loses what was not synced, under SQLite: what a power cut leaves of a database.

Every file that SQLite opens goes on as it is, and beside it an image is kept of what is surely on
the disk: a write enters it only with the next sync of that file. At the cut each write that waits
for its sync is there, is not, or is torn, as the dice fall, so they also come in any order. It sits
between SQLite and the system: the table of methods of each open file (sqlite3_io_methods, a stable
interface) is replaced by one whose write, truncate and sync note what they do.
"""

import _sqlite3
import ctypes
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

SECTOR = 512
_METHODS = 19
"""How many functions the table of methods has after its version number."""
_WRITE, _TRUNCATE, _SYNC = 2, 3, 4
_OPEN_AT = ctypes.sizeof(ctypes.c_void_p) * 5
"""Where xOpen stands in sqlite3_vfs: after three ints, two pointers and the application's data."""

_Pointer = ctypes.c_void_p
_Open = ctypes.CFUNCTYPE(ctypes.c_int, _Pointer, _Pointer, _Pointer, ctypes.c_int, _Pointer)
_Write = ctypes.CFUNCTYPE(ctypes.c_int, _Pointer, _Pointer, ctypes.c_int, ctypes.c_int64)
_Truncate = ctypes.CFUNCTYPE(ctypes.c_int, _Pointer, ctypes.c_int64)
_Sync = ctypes.CFUNCTYPE(ctypes.c_int, _Pointer, ctypes.c_int)

Change = Callable[[bytearray], None]


@dataclass
class File:
    """A file: what is surely on the disk of it, and the changes that wait for a sync."""

    on_disk: bytearray
    waiting: list[tuple[int, bytes] | int] = field(default_factory=list)

    def sync(self) -> None:
        for each in self.waiting:
            change(self.on_disk, each)
        self.waiting.clear()

    def after_cut(self, dice: Random) -> bytes:
        left = bytearray(self.on_disk)
        for each in self.waiting:
            fate = dice.choice(("there", "lost", "torn"))
            if fate == "torn" and not isinstance(each, int):
                offset, data = each
                each = offset, data[: dice.randrange(0, len(data) + 1, SECTOR)]
            if fate != "lost":
                change(left, each)
        return bytes(left)


def change(content: bytearray, by: tuple[int, bytes] | int) -> None:
    """Do to a content what a write (offset, data) or a truncate (length) does to a file."""
    if isinstance(by, int):
        del content[by:]
        return
    offset, data = by
    if len(content) < offset:
        content.extend(bytes(offset - len(content)))
    content[offset : offset + len(data)] = data


class LosingDisk:
    """Stands under all of SQLite while it is entered."""

    def __init__(self) -> None:
        self.files: dict[str, File] = {}
        self._of: dict[int, File] = {}
        self._kept: list[object] = []

    def __enter__(self) -> "LosingDisk":
        library = ctypes.CDLL(_sqlite3.__file__)
        library.sqlite3_vfs_find.restype = _Pointer
        self._slot = _Pointer.from_address(library.sqlite3_vfs_find(None) + _OPEN_AT)
        self._original = self._slot.value
        open_it = ctypes.cast(self._original, _Open)

        def opened(vfs: int, name: int | None, file: int, flags: int, told: int) -> int:
            # The name is handed on as the pointer it is: SQLite keeps it as long as the file.
            result: int = open_it(vfs, name, file, flags, told)
            if result == 0 and name:
                self._watch(file, ctypes.string_at(name).decode())
            return result

        self._slot.value = self._keep(_Open(opened))
        return self

    def __exit__(self, *_: object) -> None:
        self._slot.value = self._original

    def cut_into(self, source: Path, target: Path, dice: Random) -> None:
        """Put what a power cut at this moment leaves of one folder into another, a new one."""
        target.mkdir()
        for name, file in self.files.items():
            if Path(name).parent == source and Path(name).exists():
                (target / Path(name).name).write_bytes(file.after_cut(dice))

    def _watch(self, file: int, name: str) -> None:
        path = Path(name)
        known = self.files.setdefault(name, File(bytearray(path.read_bytes())))
        own = _Pointer.from_address(file)
        table = (ctypes.c_void_p * (_METHODS + 1)).from_address(own.value or 0)
        copy = (ctypes.c_void_p * (_METHODS + 1))(*table)
        write = ctypes.cast(table[1 + _WRITE] or 0, _Write)
        truncate = ctypes.cast(table[1 + _TRUNCATE] or 0, _Truncate)
        sync = ctypes.cast(table[1 + _SYNC] or 0, _Sync)

        def on_write(this: int, data: int, length: int, offset: int) -> int:
            known.waiting.append((offset, ctypes.string_at(data, length)))
            return int(write(this, data, length, offset))

        def on_truncate(this: int, length: int) -> int:
            known.waiting.append(length)
            return int(truncate(this, length))

        def on_sync(this: int, flags: int) -> int:
            result = int(sync(this, flags))
            known.sync()
            return result

        copy[1 + _WRITE] = self._keep(_Write(on_write))
        copy[1 + _TRUNCATE] = self._keep(_Truncate(on_truncate))
        copy[1 + _SYNC] = self._keep(_Sync(on_sync))
        self._kept.append(copy)
        own.value = ctypes.addressof(copy)

    def _keep(self, function: object) -> int:
        self._kept.append(function)
        return ctypes.cast(function, _Pointer).value or 0  # type: ignore[arg-type]
