"""What was made of many like things before: a change of one must not have hundreds made anew.

What is kept stands for as long as all that it was made from is equal to what it would be made from
now. So it is never stale, whichever process changed the database, and nobody has to forget it.

>>> rows = Memo[str, tuple[str, int], str](most=2)
>>> rows.of("run-1", ("First", 612), lambda: "First: 612 s")
'First: 612 s'
>>> rows.of("run-1", ("First", 612), lambda: "not asked for")
'First: 612 s'
>>> rows.of("run-1", ("First", 590), lambda: "First: 590 s")
'First: 590 s'
"""

from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
B = TypeVar("B")
T = TypeVar("T")


class Memo(Generic[K, B, T]):
    """The things made last, one for each key, at most `most` of them.

    `basis` is all that a thing is made from. It is compared, not hashed: where it is the same
    object as before, as a line of a list mostly is, that costs next to nothing.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: dict[K, tuple[B, T]] = {}
        # Pages are made in several threads. One dictionary is read safely, but not cut short.
        self._lock = Lock()

    def __len__(self) -> int:
        return len(self._kept)

    def of(self, key: K, basis: B, make: Callable[[], T]) -> T:
        """The thing of `key`: as it was made from an equal basis, or made now."""
        kept = self._kept.get(key)
        if kept is not None and kept[0] == basis:
            return kept[1]
        made = make()
        with self._lock:
            self._kept.pop(key, None)
            self._kept[key] = basis, made
            while len(self._kept) > self._most:
                del self._kept[next(iter(self._kept))]
        return made
