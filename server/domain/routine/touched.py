"""What an edit touched, so that a page can show it."""

from collections.abc import Iterator
from dataclasses import replace

from server.domain.routine.routine import Routine


def touched(before: Routine, after: Routine) -> tuple[str, ...]:
    """The parts that an edit added or changed: kind and id, "segment-s1"; those added first.

    A drink counts as changed by what it says of itself, not by its ingredients and steps. What was
    only moved or taken out is not touched.
    """
    old, new = dict(_named(before)), dict(_named(after))
    added = [name for name in new if name not in old]
    changed = [name for name in new if name in old and new[name] != old[name]]
    return (*added, *changed)


def _named(routine: Routine) -> Iterator[tuple[str, object]]:
    for segment in routine.segments:
        yield f"segment-{segment.id}", segment
    for process in routine.processes:
        yield f"process-{process.id}", process
    for drink in routine.drinks:
        yield f"drink-{drink.id}", replace(drink, ingredients=(), steps=())
        for ingredient in drink.ingredients:
            yield f"ingredient-{ingredient.id}", ingredient
        for step in drink.steps:
            yield f"step-{step.id}", step
