"""What of a routine can hurt although no figure shows it: read in recipes, hands and words."""

from collections.abc import Iterable, Iterator

from server.domain.glass.caution import Caution
from server.domain.glass.hazards import HazardText, hazards_in, part_written
from server.domain.routine.drink import Drink
from server.domain.routine.process import Process
from server.domain.routine.routine import Routine, Segment


def hazards_of_drink(drink: Drink) -> tuple[Caution, ...]:
    """What the names of its ingredients, its method, its steps and its vessel bring."""
    return hazards_in([*_drink_written(drink)])


def hazards_of_routine(routine: Routine) -> tuple[Caution, ...]:
    """What drinks, segments and parallel processes bring, each hazard once."""
    return hazards_in(
        [
            *(each for drink in routine.drinks for each in _drink_written(drink)),
            *_segments_written(routine.segments),
            *(each for process in routine.processes for each in _process_written(process)),
        ]
    )


def _drink_written(drink: Drink) -> Iterator[HazardText]:
    yield from (part_written(part, drink.serves) for part in drink.ingredients)
    yield HazardText("act", f"method of “{drink.name}”", drink.method)
    if any(step.kind == "blend" for step in drink.steps):
        # The step says how, not with what.
        yield HazardText("act", f"a step of “{drink.name}”", "blender")
    vessel = drink.service.vessel
    if vessel is not None:
        # "A mug" of copper is a copper mug; of what else it is made does not matter here.
        made_of = "copper " if vessel.material == "copper" else ""
        called = vessel.name or "vessel"
        yield HazardText("act", f"vessel of “{drink.name}”", f"{made_of}{called}")


def _segments_written(segments: Iterable[Segment]) -> Iterator[HazardText]:
    for segment in segments:
        yield HazardText("act", f"hands in “{segment.name}”", segment.hands)
        yield HazardText("act", f"segment “{segment.name}”", segment.name)
        yield HazardText("said", f"words of “{segment.name}”", segment.said)


def _process_written(process: Process) -> Iterator[HazardText]:
    yield HazardText("act", f"“{process.name}”", process.name)
    yield HazardText("act", f"plan B of “{process.name}”", process.fallback)
