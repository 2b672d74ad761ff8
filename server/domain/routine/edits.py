"""Edits of a routine: each returns a new routine, the old one stays what it was.

All raise InvalidInput where the result would break a rule of the routine, and NotFound for an id
that is not in it.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, Protocol, TypeVar

from server.domain.base.errors import NotFound
from server.domain.glass.making import AnyStep
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.routine import Process, Routine, Segment


class _HasId(Protocol):
    @property
    def id(self) -> str: ...


Part = TypeVar("Part", bound=_HasId)
Value = TypeVar("Value")


def part_of(parts: Iterable[Part], part_id: str) -> Part:
    """The part with that id."""
    for part in parts:
        if part.id == part_id:
            return part
    raise NotFound("That part is no longer in this routine. Load the page again.")


def put(parts: Sequence[Part], part: Part) -> tuple[Part, ...]:
    """`parts` with `part` in the place of the one with its id, or at the end if it is new."""
    if any(other.id == part.id for other in parts):
        return tuple(part if other.id == part.id else other for other in parts)
    return (*parts, part)


def moved(parts: Sequence[Part], part_id: str, to: int) -> tuple[Part, ...]:
    """`parts` with one of them at index `to` (held within the list)."""
    part = part_of(parts, part_id)
    rest = [other for other in parts if other.id != part_id]
    to = max(0, min(to, len(rest)))
    return (*rest[:to], part, *rest[to:])


def without(parts: Sequence[Part], part_id: str) -> tuple[Part, ...]:
    """`parts` without the one with that id."""
    part_of(parts, part_id)
    return tuple(other for other in parts if other.id != part_id)


def put_segment(routine: Routine, segment: Segment) -> Routine:
    """The routine with `segment` changed, or added at the end."""
    return replace(routine, segments=put(routine.segments, segment))


def plan_time(routine: Routine, segment_id: str, likely_s: float) -> Routine:
    """Plan a segment for so many seconds; its lowest and highest move along. Raises NotFound."""
    segment = part_of(routine.segments, segment_id)
    duration = segment.duration.changed_by(likely_s - segment.duration.likely_s)
    return put_segment(routine, replace(segment, duration=duration))


def move_segment(routine: Routine, segment_id: str, to: int) -> Routine:
    """The routine with a segment at index `to`."""
    return replace(routine, segments=moved(routine.segments, segment_id, to))


def remove_segment(routine: Routine, segment_id: str) -> Routine:
    """The routine without a segment; what hung on it loses that link, not itself."""
    return replace(
        routine,
        drinks=tuple(_served_without(drink, segment_id) for drink in routine.drinks),
        segments=tuple(
            _unlinked(each, segment_id) for each in without(routine.segments, segment_id)
        ),
        processes=tuple(_unhooked(process, segment_id) for process in routine.processes),
    )


def put_process(routine: Routine, process: Process) -> Routine:
    """The routine with `process` changed, or added at the end."""
    return replace(routine, processes=put(routine.processes, process))


def remove_process(routine: Routine, process_id: str) -> Routine:
    """The routine without a process."""
    return replace(routine, processes=without(routine.processes, process_id))


def put_drink(routine: Routine, drink: Drink) -> Routine:
    """The routine with `drink` changed, or added at the end."""
    return replace(routine, drinks=put(routine.drinks, drink))


def move_drink(routine: Routine, drink_id: str, to: int) -> Routine:
    """The routine with a drink at index `to`."""
    return replace(routine, drinks=moved(routine.drinks, drink_id, to))


def remove_drink(routine: Routine, drink_id: str) -> Routine:
    """The routine without a drink; segments about it stay and are about no drink."""
    gone = {part.id for part in part_of(routine.drinks, drink_id).ingredients}
    rest = _forgetting(routine, gone)
    return replace(
        rest,
        drinks=without(routine.drinks, drink_id),
        corrections=tuple(each for each in rest.corrections if each.drink_id != drink_id),
        segments=tuple(
            replace(segment, drink_id=None) if segment.drink_id == drink_id else segment
            for segment in routine.segments
        ),
        processes=tuple(
            replace(each, vessel_drink_id=None) if each.vessel_drink_id == drink_id else each
            for each in rest.processes
        ),
    )


def give_drink_back(routine: Routine, drink_id: str, before: Routine) -> Routine:
    """The routine with a drink that it lost, as `before` has it, behind the others.

    What was about it then, and is about no drink since, is about it again; what is gone meanwhile
    stays gone. Raises NotFound where `before` has no such drink.
    """
    drink = part_of(before.drinks, drink_id)
    for gone in {each.id for each in before.segments} - {each.id for each in routine.segments}:
        drink = _served_without(drink, gone)
    parts = {part.id for part in drink.ingredients}
    about = {each.id for each in before.segments if each.drink_id == drink_id}
    ran = {each.id: each for each in before.processes}
    meant = {*parts, drink_id}
    corrected = [c for c in before.corrections if {c.ingredient_id, c.drink_id} & meant]
    known = {each.id for each in routine.corrections}
    return replace(
        routine,
        drinks=put(routine.drinks, drink),
        segments=tuple(
            replace(each, drink_id=drink_id) if each.id in about and not each.drink_id else each
            for each in routine.segments
        ),
        processes=tuple(
            _hooked(each, ran.get(each.id, each), drink_id, parts) for each in routine.processes
        ),
        corrections=(
            *routine.corrections, *(each for each in corrected if each.id not in known),
        ),
    )  # fmt: skip


def put_ingredient(routine: Routine, drink_id: str, ingredient: Ingredient) -> Routine:
    """The routine with an ingredient of a drink changed, or added to it at the end."""
    return _with_ingredients(routine, drink_id, lambda parts: put(parts, ingredient))


def move_ingredient(routine: Routine, drink_id: str, ingredient_id: str, to: int) -> Routine:
    """The routine with an ingredient at index `to` of its drink."""
    return _with_ingredients(routine, drink_id, lambda parts: moved(parts, ingredient_id, to))


def remove_ingredient(routine: Routine, drink_id: str, ingredient_id: str) -> Routine:
    """The routine with an ingredient taken out of a drink, and what was corrected to mean it."""
    rest = _forgetting(routine, {ingredient_id})
    return _with_ingredients(rest, drink_id, lambda parts: without(parts, ingredient_id))


def put_step(routine: Routine, drink_id: str, step: AnyStep) -> Routine:
    """The routine with a step of a drink changed, or added to it at the end."""
    drink = part_of(routine.drinks, drink_id)
    return put_drink(routine, replace(drink, steps=put(drink.steps, step)))


def move_step(routine: Routine, drink_id: str, step_id: str, to: int) -> Routine:
    """The routine with a step at index `to` of its drink."""
    drink = part_of(routine.drinks, drink_id)
    return put_drink(routine, replace(drink, steps=moved(drink.steps, step_id, to)))


def remove_step(routine: Routine, drink_id: str, step_id: str) -> Routine:
    """The routine without a step; what went in after it is there from the start."""
    drink = part_of(routine.drinks, drink_id)
    ingredients = tuple(
        replace(part, after_step_id=None) if part.after_step_id == step_id else part
        for part in drink.ingredients
    )
    left = replace(drink, ingredients=ingredients, steps=without(drink.steps, step_id))
    return put_drink(routine, left)


def copy_drink(routine: Routine, drink_id: str, name: str, new_id: Callable[[], str]) -> Routine:
    """The routine with another version of a drink behind it, under `name`."""
    drink = part_of(routine.drinks, drink_id)
    version = replace(with_new_ids(drink, new_id), name=name)
    place = [each.id for each in routine.drinks].index(drink_id) + 1
    return move_drink(put_drink(routine, version), version.id, place)


def with_new_ids(value: Value, new_id: Callable[[], str], keep: Collection[str] = ()) -> Value:
    """A copy of a routine, plan or other document in which every id is new but those in `keep`.

    References to ids inside `value` (`drink_id`, `after_segment_id` ...) follow; references to
    things outside it stay.
    """
    renamed = {old: new_id() for old in _ids(value) if old not in keep}
    copy: Value = _renamed(value, renamed)
    return copy


def _with_ingredients(
    routine: Routine,
    drink_id: str,
    change: Callable[[tuple[Ingredient, ...]], tuple[Ingredient, ...]],
) -> Routine:
    drink = part_of(routine.drinks, drink_id)
    return put_drink(routine, replace(drink, ingredients=change(drink.ingredients)))


def _forgetting(routine: Routine, ingredient_ids: Collection[str]) -> Routine:
    """The routine without what means one of these ingredients: corrections, a process' product."""
    kept = tuple(c for c in routine.corrections if c.ingredient_id not in ingredient_ids)
    processes = tuple(
        replace(each, product_id=None) if each.product_id in ingredient_ids else each
        for each in routine.processes
    )
    return replace(routine, corrections=kept, processes=processes)


def _unlinked(segment: Segment, gone_id: str) -> Segment:
    kept = tuple(each for each in segment.after_segment_ids if each != gone_id)
    return replace(segment, after_segment_ids=kept)


def _unhooked(process: Process, segment_id: str) -> Process:
    after, before = process.after_segment_id, process.before_segment_id
    return replace(
        process,
        after_segment_id=None if after == segment_id else after,
        before_segment_id=None if before == segment_id else before,
    )


def _hooked(process: Process, before: Process, drink_id: str, part_ids: Collection[str]) -> Process:
    """The process with what it made of the drink, and the vessel it stood in, as before."""
    makes = process.product_id is None and before.product_id in part_ids
    stands = process.vessel_drink_id is None and before.vessel_drink_id == drink_id
    return replace(
        process,
        product_id=before.product_id if makes else process.product_id,
        vessel_drink_id=drink_id if stands else process.vessel_drink_id,
    )


def _served_without(drink: Drink, segment_id: str) -> Drink:
    service = drink.service
    poured, drunk = service.poured_segment_id, service.drunk_segment_id
    kept = replace(
        service,
        poured_segment_id=None if poured == segment_id else poured,
        drunk_segment_id=None if drunk == segment_id else drunk,
    )
    return replace(drink, service=kept)


def _ids(value: object) -> list[str]:
    if isinstance(value, tuple):
        return [found for item in value for found in _ids(item)]
    if isinstance(value, dict):
        return _ids(tuple(value.values()))
    if not is_dataclass(value):
        return []
    found = [value.id] if hasattr(value, "id") else []
    for item in fields(value):
        found += _ids(getattr(value, item.name))
    return found


def _renamed(value: Any, renamed: dict[str, str]) -> Any:  # noqa: ANN401
    if isinstance(value, tuple):
        return tuple(_renamed(item, renamed) for item in value)
    if isinstance(value, dict):
        return {key: _renamed(item, renamed) for key, item in value.items()}
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changes = {}
    for item in fields(value):
        held = getattr(value, item.name)
        if item.name in ("id", "criterion") or item.name.endswith("_id"):
            changes[item.name] = renamed.get(held, held)
        elif item.name == "claim" and held is not None:
            # The key of a claim begins with the id of its drink.
            drink_id, colon, words = held.partition(":")
            changes[item.name] = renamed.get(drink_id, drink_id) + colon + words
        elif item.name.endswith("_ids"):
            changes[item.name] = tuple(renamed.get(each, each) for each in held)
        else:
            changes[item.name] = _renamed(held, renamed)
    return replace(value, **changes)
