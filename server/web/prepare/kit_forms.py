"""The forms of the kit: a thing added by hand, and how much more than the serves is packed."""

from dataclasses import replace

from server.domain.base.numbers import write_number
from server.domain.routine.edits import part_of
from server.domain.routine.preparing import MOST_USES, Preparation, Thing, ThingKind
from server.domain.routine.routine import Routine
from server.web.frame.editing import NEW
from server.web.frame.forms import Typed
from server.web.frame.guard import Values

USE = "use-"
"""Before the id of a segment in the name of its box."""

RESERVE = "reserve"

_TOOL: ThingKind = "tool"


def thing_from(typed: Typed, thing_id: str, kinds: dict[ThingKind, str]) -> Thing:
    """The thing that a form describes; raises InvalidInput with every fault."""
    used = tuple(
        name.removeprefix(USE) for name in typed.values if name.startswith(USE) and typed.text(name)
    )
    if len(used) > MOST_USES:
        typed.fault("uses", f"At most {MOST_USES} segments can be ticked.")
    return typed.built(
        lambda: Thing(
            id=thing_id,
            name=typed.text("name"),
            how_many=typed.text("how_many"),
            kind=typed.chosen("kind", kinds, _TOOL),
            segment_ids=used,
        )
    )


def with_reserve(typed: Typed, given: Preparation) -> Preparation:
    """What is prepared, with the reserve and the spares that a form describes."""
    reserve, spare = typed.number("reserve"), typed.whole_number("spare")
    return typed.built(lambda: replace(given, reserve_percent=reserve, spare_glasses=spare))


def kit_values(routine: Routine, edit: str) -> Values:
    """The texts with which the open form starts; `edit` names it."""
    given = routine.preparation
    if edit == RESERVE:
        return {
            "reserve": write_number(given.reserve_percent),
            "spare": str(given.spare_glasses),
        }
    kind, _, thing_id = edit.partition("-")
    if kind != "thing" or thing_id in ("", NEW):
        return {"kind": _TOOL}
    thing = part_of(given.things, thing_id)
    return {
        "name": thing.name,
        "how_many": thing.how_many,
        "kind": thing.kind,
        **{f"{USE}{each}": "yes" for each in thing.segment_ids},
    }
