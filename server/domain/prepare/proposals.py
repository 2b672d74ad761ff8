"""What could be made ahead, read off the recipes: proposals, which the person times."""

from collections.abc import Iterator
from dataclasses import dataclass

from server.domain.glass.steps import ON_ICE, Filter
from server.domain.prepare.named_things import words_of
from server.domain.routine.ahead import NOTHING_AHEAD
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Makes
from server.domain.routine.routine import Routine

_MADE = frozenset(
    ("batch", "bitter", "cordial", "foam", "infusion", "oleo", "reduction", "shrub", "solution",
     "syrup", "tincture")
)  # fmt: skip
"""Words of names (English, as singulars) that say that something was made beforehand."""

COLD_GLASS_C = 15.0
"""A glass that is colder than this was chilled: no bar is."""


@dataclass(frozen=True)
class TaskProposal:
    """Something that could be a task: what it makes, of which drink and ingredient."""

    name: str
    makes: Makes
    drink_id: str | None = None
    ingredient_id: str | None = None

    @property
    def key(self) -> str:
        """Names it in an address."""
        return ".".join((self.makes, self.drink_id or "", self.ingredient_id or ""))


def proposals(routine: Routine) -> tuple[TaskProposal, ...]:
    """What could be made ahead and is no task yet, in the order of the drinks."""
    known = {
        (task.makes, task.drink_id, task.ingredient_id)
        for task in routine.preparation.tasks
        if task.makes != "other"
    }
    found = dict.fromkeys(each for drink in routine.drinks for each in _of(drink))
    return tuple(
        each for each in found if (each.makes, each.drink_id, each.ingredient_id) not in known
    )


def _of(drink: Drink) -> Iterator[TaskProposal]:
    for part in drink.ingredients:
        if _is_made(part):
            name = part.name.split(",")[0].split("(")[0].strip()
            yield TaskProposal(
                f"Make {name[:1].lower()}{name[1:]}", "ingredient", drink.id, part.id
            )
    if any(isinstance(step, Filter) and step.curd for step in drink.steps):
        yield TaskProposal(f"Clarify {drink.name}", "clear", drink.id)
    vessel = drink.service.vessel
    if vessel and vessel.temp_c is not None and vessel.temp_c < COLD_GLASS_C:
        yield TaskProposal(f"Chill each {vessel.name or 'glass'}", "glasses", drink.id)
    if any(step.kind in ON_ICE for step in drink.steps):
        yield TaskProposal("Freeze the ice", "ice")


def _is_made(part: Ingredient) -> bool:
    if part.brew is not None:
        return False
    is_ahead = part.syrup is not None or part.ahead != NOTHING_AHEAD
    return is_ahead or bool(_MADE & words_of(part.name))
