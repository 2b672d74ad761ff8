"""The kit: everything that must be on the bar, with how much of it and what uses it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from server.domain.base.text import with_capital
from server.domain.prepare.named_things import is_ice, key_of, spoken_in, telling_words
from server.domain.prepare.needs import IngredientNeed, needs_per_run
from server.domain.prepare.ticks import UNTICKED, Ticked
from server.domain.prepare.tools import needs_of
from server.domain.routine.drink import Drink
from server.domain.routine.preparing import ThingKind
from server.domain.routine.routine import Routine, Segment
from server.domain.routine.rules import RuleSheet
from server.domain.routine.station import own_key

KINDS: dict[ThingKind, str] = {
    "ingredient": "Ingredients",
    "glass": "Glasses and vessels",
    "tool": "Tools",
    "water": "Ice and water",
    "cloth": "Cloths and paper",
}
"""Kind of thing -> the words over its part of the list, in the order of packing."""


@dataclass(frozen=True)
class KitThing:
    """A thing of the kit. `drink_ids` and `segment_ids` say what uses it.

    `thing_id` is that of a thing added by hand, None for one that the routine asks for.
    """

    key: str
    name: str
    kind: ThingKind
    how_many: str = ""
    drink_ids: tuple[str, ...] = ()
    segment_ids: tuple[str, ...] = ()
    thing_id: str | None = None
    left_out: bool = False
    size: str = ""
    """What a glass holds, where that is on record."""

    @property
    def is_used(self) -> bool:
        """Whether anything of the routine uses it."""
        return bool(self.drink_ids or self.segment_ids)

    @property
    def is_needed(self) -> bool:
        """Whether it has to be packed."""
        return not self.left_out and (self.is_used or self.thing_id is not None)

    def is_short(self, ticked: Ticked) -> bool:
        """Whether it was packed, for less than is needed now."""
        return self.is_needed and ticked.packed and not ticked.holds(self.how_many)


@dataclass(frozen=True)
class Packing:
    """How a kit stands: what is used and not packed, and what is packed and never used.

    `short` are those of what is missing that were packed, for less than is needed now; `gone` are
    keys of packed things that nothing asks for any more.
    """

    packed: tuple[KitThing, ...]
    missing: tuple[KitThing, ...]
    short: tuple[KitThing, ...]
    unused: tuple[KitThing, ...]
    gone: tuple[str, ...]


def kit_of(routine: Routine, rules: RuleSheet) -> tuple[KitThing, ...]:
    """Everything on the bar, in the order of KINDS and, within each, of the routine."""
    given = routine.preparation
    parts = tuple(_ingredients(routine, rules))
    found = [*parts, *_glasses(routine, rules), *_one_ice(parts, _named(routine, rules))]
    left_out = set(given.left_out)
    derived = [replace(each, left_out=each.key in left_out) for each in _once(found)]
    known = {segment.id for segment in routine.segments}
    drink_of = {segment.id: segment.drink_id for segment in routine.segments}
    for thing in given.things:
        used = tuple(each for each in thing.segment_ids if each in known)
        drinks = tuple(dict.fromkeys(each for each in map(drink_of.get, used) if each))
        derived.append(
            KitThing(
                own_key(thing.id), thing.name, thing.kind, thing.how_many, drinks, used, thing.id
            )
        )
    order = list(KINDS)
    return tuple(sorted(derived, key=lambda each: order.index(each.kind)))


def packing_of(kit: Iterable[KitThing], ticks: Mapping[str, Ticked]) -> Packing:
    """How a kit stands; `ticks` holds what is ticked, by key."""
    kit = tuple(kit)
    ticked = {key for key, each in ticks.items() if each.packed}
    known = {each.key for each in kit}
    enough_of = {each.key for each in kit if ticks.get(each.key, UNTICKED).holds(each.how_many)}
    short = tuple(each for each in kit if each.is_short(ticks.get(each.key, UNTICKED)))
    return Packing(
        packed=tuple(each for each in kit if each.key in enough_of and each.is_needed),
        missing=tuple(each for each in kit if each.is_needed and each.key not in enough_of),
        short=short,
        unused=tuple(
            each for each in kit if each.key in ticked and (each.left_out or not each.is_used)
        ),
        gone=tuple(sorted(ticked - known)),
    )


def _ingredients(routine: Routine, rules: RuleSheet) -> Iterable[KitThing]:
    for need in needs_per_run(routine, rules):
        kind: ThingKind = "water" if _is_ice(need) else "ingredient"
        segments = (each for each in routine.segments if each.drink_id in need.drink_ids)
        used = _speaking(segments, need.name)
        yield KitThing(need.key, need.name, kind, need.words, need.drink_ids, used)


def _is_ice(need: IngredientNeed) -> bool:
    kinds = {part.substance.kind for part in need.parts if part.substance}
    return kinds <= {"ice"} if kinds else is_ice(need.name)


def _one_ice(parts: Sequence[KitThing], named: Iterable[KitThing]) -> Iterable[KitThing]:
    """What is named, with ice as that which a recipe lists: of the same drink, else of another.

    Of another drink it may not be enough: how much more it takes nobody has said.
    """
    ices = [each for each in parts if each.kind == "water"]
    for each in named:
        if not ices or each.key != key_of("water", "Ice"):
            yield each
            continue
        own = [ice for ice in ices if set(ice.drink_ids) & set(each.drink_ids)]
        ice = (own or ices)[0]
        more = "" if own or not each.drink_ids else _AND_MORE
        yield replace(each, key=ice.key, how_many=more)


_AND_MORE = "and more"


def _speaking(segments: Iterable[Segment], name: str) -> tuple[str, ...]:
    words = telling_words(name)
    return tuple(each.id for each in segments if words & spoken_in(each))


def _glasses(routine: Routine, rules: RuleSheet) -> Iterable[KitThing]:
    spare = routine.preparation.spare_glasses
    served: dict[str, list[Drink]] = {}
    for drink in routine.drinks:
        vessel = drink.service.vessel
        served.setdefault((vessel and vessel.name) or f"Glass for {drink.name}", []).append(drink)
    for name, drinks in served.items():
        count = rules.serves_per_drink * len(drinks)
        yield KitThing(
            key_of("glass", name),
            with_capital(name),
            "glass",
            f"{count} + {spare}" if spare else f"{count}",
            tuple(drink.id for drink in drinks),
            tuple(dict.fromkeys(each for drink in drinks for each in _held_in(routine, drink))),
            size=_size(drinks),
        )


def _size(drinks: Iterable[Drink]) -> str:
    """How large the glasses of one name are; of two sizes both: "holds 90 or 120 ml"."""
    vessels = [drink.service.vessel for drink in drinks if drink.service.vessel]
    sizes = sorted({each.holds_ml for each in vessels if each.holds_ml is not None})
    return f"holds {' or '.join(f'{each:g}' for each in sizes)} ml" if sizes else ""


def _held_in(routine: Routine, drink: Drink) -> Iterable[str]:
    """The segments that use the vessel of a drink: those that name it, pour into it, serve it."""
    service = drink.service
    if service.vessel and service.vessel.name:
        yield from _speaking(
            (each for each in routine.segments if each.drink_id == drink.id), service.vessel.name
        )
    yield from (each for each in (service.poured_segment_id, service.drunk_segment_id) if each)


def _named(routine: Routine, rules: RuleSheet) -> Iterable[KitThing]:
    counts = {"Declaration sheets": str(rules.serves_per_drink)}
    for need in needs_of(routine):
        yield KitThing(
            key_of(need.kind, need.name),
            need.name,
            need.kind,
            counts.get(need.name, ""),
            (need.drink_id,) if need.drink_id else (),
            (need.segment_id,) if need.segment_id else (),
        )


def _once(things: Iterable[KitThing]) -> list[KitThing]:
    """Things of one key as one, with all that use them."""
    merged: dict[str, KitThing] = {}
    for each in things:
        known = merged.get(each.key)
        if known is None:
            merged[each.key] = each
            continue
        merged[each.key] = replace(
            known,
            how_many=_how_many(known.how_many, each.how_many),
            drink_ids=tuple(dict.fromkeys((*known.drink_ids, *each.drink_ids))),
            segment_ids=tuple(dict.fromkeys((*known.segment_ids, *each.segment_ids))),
        )
    return list(merged.values())


def _how_many(said: str, more: str) -> str:
    if said and more == _AND_MORE and not said.endswith(more):
        return f"{said} {more}"
    return said or more
