"""What the hands take, one thing after the other, as the segments say it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from server.domain.prepare.kit import KitThing
from server.domain.prepare.named_things import WORD, telling_words, words_of
from server.domain.routine.routine import Routine, Segment
from server.domain.routine.station import Hand, Spot, Station

_POURING = frozenset(("pour", "strain", "serve"))
"""Words of what the hands do (English, as singulars) that say that judges watch a pour."""


@dataclass(frozen=True)
class Stood:
    """A thing of the kit where it stands; `hand` takes it."""

    spot: Spot
    thing: KitThing
    hand: Hand


@dataclass(frozen=True)
class Use:
    """A hand goes to a thing, in a segment."""

    segment_id: str
    spot_id: str


def stood_of(station: Station, kit: Sequence[KitThing]) -> tuple[Stood, ...]:
    """What stands on the bar and is still of the kit."""
    known = {thing.key: thing for thing in kit}
    return tuple(
        Stood(spot, thing, _hand_of(spot, thing, station.hand))
        for spot in station.spots
        if (thing := known.get(spot.key)) is not None
    )


def uses_of(routine: Routine, stood: Sequence[Stood]) -> tuple[Use, ...]:
    """Which thing a hand goes to, in the order in which what the hands do names them.

    What a segment uses without naming it (a thing added by hand, the glass it is poured into)
    comes at its end. What stands nowhere is passed over.
    """
    found: list[Use] = []
    for segment in routine.segments:
        for spot_id in _in_order(segment, stood):
            if not found or found[-1] != Use(segment.id, spot_id):
                found.append(Use(segment.id, spot_id))
    return tuple(found)


def pours_of(routine: Routine, stood: Sequence[Stood]) -> tuple[str, ...]:
    """The spots of glasses and vessels that something is poured into before the judges."""
    segments = {each.id for each in routine.segments if words_of(each.hands) & _POURING}
    segments |= {drink.service.poured_segment_id or "" for drink in routine.drinks}
    return tuple(
        each.spot.id
        for each in stood
        if each.thing.kind == "glass" and segments & set(each.thing.segment_ids)
    )


def by_id(stood: Sequence[Stood]) -> dict[str, Stood]:
    """The same by the ids of their spots."""
    return {each.spot.id: each for each in stood}


def _hand_of(spot: Spot, thing: KitThing, pours: Hand) -> Hand:
    """The hand that pours takes bottles and tools; the other one holds what is poured into."""
    if spot.hand:
        return spot.hand
    if thing.kind in ("glass", "cloth"):
        return "left" if pours == "right" else "right"
    return pours


def _in_order(segment: Segment, stood: Sequence[Stood]) -> Iterator[str]:
    named = _named(segment, {each.spot.id: each for each in stood if _may_be(segment, each)})
    yield from named
    told = set(named)
    for each in stood:
        is_told = each.spot.id in told or segment.id not in each.thing.segment_ids
        if not is_told and (each.thing.thing_id is not None or each.thing.kind == "glass"):
            yield each.spot.id


def _named(segment: Segment, may: Mapping[str, Stood]) -> list[str]:
    """In the order of the words; a thing with several of its words side by side is named once."""
    telling = {spot_id: telling_words(each.thing.name) for spot_id, each in may.items()}
    found: list[str] = []
    for word in WORD.findall(segment.hands):
        singular = words_of(word)
        for spot_id, words in telling.items():
            if singular & words and (not found or found[-1] != spot_id):
                found.append(spot_id)
    return found


def _may_be(segment: Segment, each: Stood) -> bool:
    """What is for one drink is not meant where another is made."""
    drinks = each.thing.drink_ids
    return not drinks or segment.drink_id is None or segment.drink_id in drinks
