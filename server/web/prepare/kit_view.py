"""What the page of the kit shows."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypedDict

from server.domain.prepare.kit import KINDS, KitThing, Packing
from server.domain.prepare.ticks import UNTICKED, Ticked
from server.domain.routine.preparing import ThingKind
from server.domain.routine.routine import Routine
from server.domain.routine.station import OWN
from server.web.frame.forms import Form
from server.web.frame.shown import RoutinePage
from server.web.frame.tape import DRINK_KINDS

Where = Literal["home", "event"]

OCCASIONS: dict[Where, str] = {"home": "Practice", "event": "The event"}
"""Occasion -> its name where one chooses."""

FOR: dict[Where, str] = {"home": "for practice", "event": "for the event"}
"""Occasion -> what things are packed for, at the end of a sentence."""

NAMED_AT_ONCE = 5
"""So many things are named in a warning; the others are counted."""


class StandingThing(TypedDict):
    """How a thing stands, for a device; `needed` is how much of it, `short` that this is more than
    it was packed for.
    """

    packed: bool
    needed: str
    short: str


@dataclass(frozen=True)
class ThingRow:
    """A thing as one line; `tint` is the drink that uses it, `note` what is amiss with it, `short`
    that it was packed for less than is needed now.
    """

    key: str
    name: str
    whole_name: str
    how_many: str
    size: str
    tint: str
    packed: bool
    note: str
    short: str
    looked_at: bool


@dataclass(frozen=True)
class ThingGroup:
    """The things of one kind, those left out at the end; `done` counts the packed ones.

    `is_next` is the first of which something is open: on a phone the others are folded.
    """

    kind: ThingKind
    title: str
    rows: tuple[ThingRow, ...]
    left_out: tuple[ThingRow, ...]
    done: int
    is_next: bool


@dataclass(frozen=True)
class ThingPanel:
    """A thing that is looked at, with what uses it."""

    thing: KitThing
    kind: str
    drinks: tuple[str, ...]
    segments: tuple[tuple[int, str, str], ...]


@dataclass(frozen=True, kw_only=True)
class KitPage(RoutinePage, folder="prepare"):
    """The kit of a routine for one occasion."""

    occasion: Where
    occasions: Mapping[Where, str]
    goal: str
    headline: str
    warnings: tuple[str, ...]
    groups: tuple[ThingGroup, ...]
    gone: tuple[tuple[str, str], ...]
    packed_before: bool
    any_packed: bool
    panel: ThingPanel | None
    edit: str
    form: Form
    kinds: Mapping[ThingKind, str]


def groups_of(
    routine: Routine, kit: Sequence[KitThing], ticks: Mapping[str, Ticked], looked_at: str
) -> tuple[ThingGroup, ...]:
    """The kit as lists, one for each kind of which there is something."""
    tints, names = tints_of(routine), apart_names([thing.name for thing in kit])
    groups: list[ThingGroup] = []
    for kind, title in KINDS.items():
        rows = [
            (thing, _row(thing, names, tints, ticks, looked_at))
            for thing in kit
            if thing.kind == kind
        ]
        if rows:
            shown = tuple(row for thing, row in rows if not thing.left_out)
            hidden = tuple(row for thing, row in rows if thing.left_out)
            done = sum(row.packed for row in shown)
            is_next = done < len(shown) and not any(group.is_next for group in groups)
            groups.append(ThingGroup(kind, title, shown, hidden, done, is_next))
    return tuple(groups)


def tints_of(routine: Routine) -> dict[str, str]:
    """Drink id -> how the drink is drawn."""
    return {
        drink.id: f"drink-{place % DRINK_KINDS + 1}" for place, drink in enumerate(routine.drinks)
    }


def headline_of(packing: Packing, occasion: Where) -> str:
    """The answer of the page in one line."""
    done, left = len(packing.packed), len(packing.missing)
    if not done + left:
        return "Nothing to pack yet"
    if not left:
        return f"Everything is packed {FOR[occasion]}"
    if not done:
        return f"{done + left} things to pack {FOR[occasion]}"
    return f"{done} of {done + left} packed {FOR[occasion]}"


def warnings_of(packing: Packing) -> tuple[str, ...]:
    """What is used and not packed, once packing has begun, and what is packed and never used."""
    found = []
    used = [each for each in packing.missing if each.is_used and each not in packing.short]
    if packing.short:
        found.append(f"Packed for less than is needed now: {_named(packing.short)}.")
    if packing.packed and used:
        found.append(f"Used and not packed: {_named(used)}.")
    if packing.unused:
        found.append(f"Packed, and nothing uses it: {_named(packing.unused)}.")
    return tuple(found)


def panel_of(routine: Routine, kit: Sequence[KitThing], key: str) -> ThingPanel | None:
    """A thing with what uses it; None for one that is not there (any more)."""
    thing = next((each for each in kit if each.key == key), None)
    if thing is None:
        return None
    names = {drink.id: drink.name for drink in routine.drinks}
    numbered = enumerate(routine.segments, 1)
    return ThingPanel(
        thing,
        KINDS[thing.kind],
        tuple(names[each] for each in thing.drink_ids),
        tuple((number, each.id, each.name) for number, each in numbered
              if each.id in thing.segment_ids),
    )  # fmt: skip


def gone_of(packing: Packing) -> tuple[tuple[str, str], ...]:
    """Key and name of what is packed and stands in no list any more."""
    return tuple((key, key.partition(":")[2]) for key in packing.gone if not key.startswith(OWN))


def short_name(name: str) -> str:
    """A name up to where it begins to explain itself.

    >>> short_name("Pear brandy, unaged, 40 % vol"), short_name("Barley tea (gluten)")
    ('Pear brandy', 'Barley tea')
    """
    return re.split(r"\s*[,(;]", name, maxsplit=1)[0] or name


def apart_names(names: Sequence[str]) -> dict[str, str]:
    """Each name in short; in full where another is as short.

    >>> apart_names(["Whisky, 40 %", "Whisky, 46 %", "Gin, 45 %"])
    {'Whisky, 40 %': 'Whisky, 40 %', 'Whisky, 46 %': 'Whisky, 46 %', 'Gin, 45 %': 'Gin'}
    """
    alike = Counter(short_name(each) for each in dict.fromkeys(names))
    return {each: short_name(each) if alike[short_name(each)] == 1 else each for each in names}


def short_words(thing: KitThing, ticked: Ticked) -> str:
    """That a thing is packed for less than is needed; "" where it is not."""
    if not thing.is_short(ticked):
        return ""
    return f"packed for {ticked.amount}, {thing.how_many} needed now"


def standing_of(kit: Sequence[KitThing], ticks: Mapping[str, Ticked]) -> dict[str, StandingThing]:
    """What a device that shows the kit is told of everything that ever was ticked."""
    things = {each.key: each for each in kit}
    told: dict[str, StandingThing] = {}
    for key, ticked in ticks.items():
        thing = things.get(key)
        needed = thing.how_many if thing else ""
        short = short_words(thing, ticked) if thing else ""
        told[key] = {"packed": ticked.packed and not short, "needed": needed, "short": short}
    return told


def _row(
    thing: KitThing,
    names: Mapping[str, str],
    tints: Mapping[str, str],
    ticks: Mapping[str, Ticked],
    looked_at: str,
) -> ThingRow:
    ticked = ticks.get(thing.key, UNTICKED)
    short = short_words(thing, ticked)
    return ThingRow(
        key=thing.key,
        name=names[thing.name],
        whole_name=thing.name,
        how_many=thing.how_many,
        size=thing.size,
        tint=" ".join(tints[each] for each in thing.drink_ids) or "no-drink",
        packed=ticked.packed and not short,
        note="" if thing.is_used or thing.left_out else "nothing uses it",
        short=short,
        looked_at=thing.key == looked_at,
    )


def _named(things: Sequence[KitThing]) -> str:
    names = [short_name(each.name) for each in things]
    more = len(names) - NAMED_AT_ONCE
    if more <= 1:
        return ", ".join(names)
    return f"{', '.join(names[:NAMED_AT_ONCE])} and {more} more"
