"""Limits, stated once, beside the type of a value.

pydantic holds files to them, and the faults of a value that is built are derived from them.

>>> @dataclass(frozen=True)
... class Room:
...     temp_c: Annotated[float, Between(-20, 60, "A room is between −20 and 60 °C.")] | None
>>> limit_faults(Room(70.0), temp_c="room")
[Fault(field='room', message='A room is between −20 and 60 °C.')]
>>> limit_faults(Room(None))
[]
"""

from collections.abc import Hashable, Iterator, Sized
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Annotated, Union, get_args, get_origin, get_type_hints

from annotated_types import BaseMetadata, Ge, GroupedMetadata, Gt, Le, MaxLen, MinLen

from server.domain.base.errors import Fault


@dataclass(frozen=True)
class Between(GroupedMetadata):
    """A number from `low` to `high`; with `above`, `low` itself is too little."""

    low: float
    high: float
    words: str
    above: bool = False

    def __iter__(self) -> Iterator[BaseMetadata]:
        yield Gt(self.low) if self.above else Ge(self.low)
        yield Le(self.high)

    def misfit(self, value: float) -> str:
        """What is wrong with a number; "" where it fits, which not-a-number never does."""
        fits = self.low <= value <= self.high and not (self.above and value == self.low)
        return "" if fits else self.words


@dataclass(frozen=True)
class AtMost(GroupedMetadata):
    """So many things at the most; the words hold {} where they name how many."""

    most: int
    words: str

    def __iter__(self) -> Iterator[BaseMetadata]:
        yield MaxLen(self.most)

    def misfit(self, value: Sized) -> str:
        """What is wrong with a collection; "" where it fits."""
        return "" if len(value) <= self.most else self.words.format(self.most)


@dataclass(frozen=True)
class Length(GroupedMetadata):
    """A text of so many characters at the most; a `required` one is not blank."""

    most: int
    required: bool = False

    def __iter__(self) -> Iterator[BaseMetadata]:
        if self.required:
            yield MinLen(1)
        yield MaxLen(self.most)

    def misfit(self, value: str) -> str:
        """What is wrong with a text; "" where it fits."""
        if self.required and not value.strip():
            return "Give it a name."
        if len(value) > self.most:
            return f"Keep it to {self.most:,} characters; this has {len(value):,}."
        return ""


Limit = Between | AtMost | Length


def limit_faults(value: Hashable, /, **fields: str) -> list[Fault]:
    """A fault for each field of a dataclass that lies outside the limits its type states.

    `fields` names, where a form calls a field otherwise, the field of the form.
    """
    found = (
        (name, limit.misfit(given))
        for name, limit in _limits(type(value))
        if (given := getattr(value, name)) is not None
    )
    return [Fault(fields.get(name, name), words) for name, words in found if words]


@cache
def _limits(kind: type) -> tuple[tuple[str, Limit], ...]:
    hints = get_type_hints(kind, include_extras=True)
    return tuple((name, limit) for name, hint in hints.items() for limit in _stated(hint))


def _stated(hint: object) -> Iterator[Limit]:
    """The limits in a type, also where it may be None; not those of the items of a collection."""
    if get_origin(hint) is Annotated:
        yield from (each for each in get_args(hint)[1:] if isinstance(each, Limit))
    elif get_origin(hint) in (Union, UnionType):
        for each in get_args(hint):
            yield from _stated(each)
