"""The library of ordinary ingredients that a drink can start from: generic names, no brands.

Each property says where it comes from: a publication, a definition, or "typical", which means
usual and not looked up. A range is meant to hold nine in ten of what is sold or squeezed under that
name, and holds what the named sources say. Nothing in it has a cost; that is the person's own.

>>> lime = ingredient("lime-juice")
>>> lime.substance.acid.value, lime.substance.acid.source[:9]
(5.5, 'between P')
"""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from pydantic import TypeAdapter

from server.domain.base.documents import Document
from server.domain.base.errors import NotFound
from server.domain.glass.cooling import ROOMS
from server.domain.glass.figures import TYPICAL, Figure
from server.domain.glass.substance import Substance

_FILE = Path(__file__).with_name("library.json")


PLACES_C = {
    20.0: Figure(20.0, 18.0, 24.0, source=ROOMS),
    5.0: Figure(
        5.0, 3.0, 8.0,
        source=f"{TYPICAL} fridge; 127 at home had a mean of 5.2 °C, SD 2.5 (Gilbert et al. 2007): "
        "a thermometer in yours tells more",
    ),
}  # fmt: skip
"""What stands in a room or in a fridge is as warm as rooms and fridges are, not to a degree."""

SERVED_C = 2.0
"""How far what is served cooled (wine, sherry) may be from the temperature that is usual for it:
guides of service give each kind of wine a span of 2 to 4 °C."""


@dataclass(frozen=True)
class LibraryEntry(Document):
    """An ingredient to start from."""

    key: str
    name: str
    group: str
    substance: Substance
    descriptors: tuple[str, ...] = ()


@cache
def library() -> tuple[LibraryEntry, ...]:
    """All entries, in the order in which they are shown."""
    adapter = TypeAdapter(tuple[LibraryEntry, ...])
    return tuple(map(_placed, adapter.validate_json(_FILE.read_bytes())))


def _placed(entry: LibraryEntry) -> LibraryEntry:
    """An entry whose temperature is that of a place, with how far such places differ."""
    usual = entry.substance.temp_c
    if usual is None or usual.is_range:
        return entry
    source = f"{usual.source} for serving; guides give each kind a span of 2 to 4 °C"
    near = Figure(usual.value, usual.value - SERVED_C, usual.value + SERVED_C, source)
    temp_c = PLACES_C.get(usual.value, near)
    return replace(entry, substance=replace(entry.substance, temp_c=temp_c))


@cache
def _by_key() -> dict[str, LibraryEntry]:
    return {entry.key: entry for entry in library()}


def ingredient(key: str) -> LibraryEntry:
    """The entry with that key. Raises NotFound."""
    entry = _by_key().get(key)
    if entry is None:
        raise NotFound("The library does not hold this ingredient.")
    return entry


def entry_named(name: str) -> LibraryEntry | None:
    """The entry that is called so, however it is capitalised; None where none is."""
    wanted = name.strip().casefold()
    return next((entry for entry in library() if entry.name.casefold() == wanted), None)


def groups() -> dict[str, tuple[LibraryEntry, ...]]:
    """The entries by group, in order."""
    names = dict.fromkeys(entry.group for entry in library())
    return {name: tuple(e for e in library() if e.group == name) for name in names}
