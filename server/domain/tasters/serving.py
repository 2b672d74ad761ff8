"""In which order glasses are served, and what is written on them: three digits that say nothing.

>>> [len(williams(samples)) for samples in (2, 3, 4, 5)]
[2, 6, 4, 10]
>>> sets = triangle_sets(12, seed=1)
>>> len(sets), sorted("".join(each.versions) for each in sets[:6])
(12, ['AAB', 'ABA', 'ABB', 'BAA', 'BAB', 'BBA'])
"""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from typing import Literal, TypeVar

from server.domain.base.documents import Document
from server.domain.base.errors import InvalidInput

Version = Literal["A", "B"]

Row = TypeVar("Row")

MOST_PLACES = 100
MOST_SAMPLES = 8

_TRIANGLES: tuple[tuple[Version, ...], ...] = (
    ("A", "B", "B"), ("B", "A", "A"), ("A", "A", "B"),
    ("B", "B", "A"), ("A", "B", "A"), ("B", "A", "B"),
)  # fmt: skip
_PAIRS: tuple[tuple[Version, ...], ...] = (("A", "B"), ("B", "A"))


@dataclass(frozen=True)
class GlassSet(Document):
    """The glasses of one taster from left to right: what is in each, and its code."""

    versions: tuple[Version, ...]
    codes: tuple[str, ...]

    def __post_init__(self) -> None:
        has_odd = any(self.versions.count(each) == 1 for each in ("A", "B"))
        if not has_odd:
            raise InvalidInput.of("sets", "Of the glasses of one taster none is the odd one.")
        if not len(set(self.codes)) == len(self.codes) == len(self.versions):
            raise InvalidInput.of("sets", "Each glass of one taster needs a code of its own.")

    @property
    def odd(self) -> str:
        """The code of the glass that differs; of two glasses that of version A."""
        lone = next(each for each in ("A", "B") if self.versions.count(each) == 1)
        return self.codes[self.versions.index(lone)]

    def version_of(self, code: str) -> Version | None:
        """What is in the glass with a code; None for a code of others."""
        return self.versions[self.codes.index(code)] if code in self.codes else None


@dataclass(frozen=True)
class Order:
    """The order of one taster: the place of each sample in the list, and the codes."""

    samples: tuple[int, ...]
    codes: tuple[str, ...]


def triangle_sets(tasters: int, seed: int) -> tuple[GlassSet, ...]:
    """Three glasses for each, the six orders equally often and by chance (ISO 4120)."""
    return _sets(_TRIANGLES, tasters, seed)


def pair_sets(tasters: int, seed: int) -> tuple[GlassSet, ...]:
    """Two glasses for each, either first equally often and by chance (ISO 5495)."""
    return _sets(_PAIRS, tasters, seed)


def williams(samples: int) -> list[tuple[int, ...]]:
    """Orders in which each sample stands equally often in every place and after every other.

    One square for an even number of samples, two for an odd one (Williams, Aust. J. Sci. Res. A 2
    (1949) 149). One sample has one order.
    """
    if samples < 2:
        return [tuple(range(samples))]
    first = [0]
    for step in range(1, samples):
        first.append((step + 1) // 2 if step % 2 else samples - step // 2)
    rows = [tuple((each + shift) % samples for each in first) for shift in range(samples)]
    return rows if samples % 2 == 0 else rows + [row[::-1] for row in rows]


def orders(samples: int, tasters: int, seed: int) -> tuple[Order, ...]:
    """An order for each taster: the rows of Williams squares, dealt out by chance."""
    # What is drawn decides who is served first, nothing that has to stay secret.
    luck = Random(seed)  # noqa: S311
    named = luck.sample(range(samples), samples)
    dealt = _dealt(williams(samples), tasters, luck)
    codes = _codes(samples * tasters, luck)
    return tuple(
        Order(tuple(named[each] for each in row), codes[at * samples : (at + 1) * samples])
        for at, row in enumerate(dealt)
    )


def shuffled(count: int, seed: int, who: str) -> list[int]:
    """The numbers below `count` in the order in which one taster meets them."""
    return Random(f"{seed}:{who}").sample(range(count), count)  # noqa: S311  (see above)


def _sets(patterns: Sequence[tuple[Version, ...]], tasters: int, seed: int) -> tuple[GlassSet, ...]:
    luck = Random(seed)  # noqa: S311  (see above)
    dealt = _dealt(patterns, tasters, luck)
    glasses = len(patterns[0])
    codes = _codes(glasses * tasters, luck)
    return tuple(
        GlassSet(row, codes[at * glasses : (at + 1) * glasses]) for at, row in enumerate(dealt)
    )


def _dealt(rows: Sequence[Row], tasters: int, luck: Random) -> list[Row]:
    """A row for each taster: all of them in a new order, again and again."""
    dealt: list[Row] = []
    while len(dealt) < tasters:
        dealt += luck.sample(list(rows), len(rows))
    return dealt[:tasters]


def _codes(count: int, luck: Random) -> tuple[str, ...]:
    """Different codes while there are some; each hundred glasses a new set of them."""
    known = luck.sample(range(100, 1000), 900)
    return tuple(str(known[at % len(known)]) for at in range(count))
