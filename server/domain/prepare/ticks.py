"""What is ticked of the kit and of what is made ahead: for how much, and as it travels in a file.

>>> holds_for("150 ml", "300 ml"), holds_for("300 ml", "150 ml"), holds_for("6 + 1", "4 + 2")
(False, True, True)
"""

import re
from collections import defaultdict
from dataclasses import dataclass
from functools import partial
from typing import Literal

from server.domain.base.amounts import parse_amount
from server.domain.base.documents import Document
from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.ids import Id, is_id
from server.domain.base.limits import limit_faults
from server.domain.base.text import Line, plain_name
from server.domain.prepare.needs import GROUND
from server.domain.routine.station import OWN, own_key

TickedFor = Literal["home", "event", "made"]
"""Practice at home, the event, and the tasks of what is made ahead."""

MOST_TICKS = 1000
_A_COUNT = re.compile(r"\d{1,6}")
_SURELY_LESS = 1e-6


@dataclass(frozen=True)
class Ticked:
    """How a thing stands: whether it is ticked, and for how much; "" where that is not known."""

    packed: bool
    amount: str = ""

    def holds(self, needed: str) -> bool:
        """Whether it is packed, and for no less than is needed."""
        return self.packed and holds_for(self.amount, needed)


UNTICKED = Ticked(packed=False)


@dataclass(frozen=True)
class PackedTick(Document):
    """Whether a thing is packed, or a task done, and whether it was the time before; `amount` is
    for how much it was last packed, as the kit said it.

    Keys that hold an id stand as that id, so that it follows where ids are given anew: `thing_id`
    of a thing added by hand, `task_id` of a task; otherwise `thing` is the key in the kit.
    """

    occasion: TickedFor
    thing: Line = ""
    thing_id: Id | None = None
    task_id: Id | None = None
    packed: bool = False
    before: bool = False
    amount: Line = ""

    def __post_init__(self) -> None:
        faults = limit_faults(self)
        keys = (self.thing or None, self.thing_id, self.task_id)
        if len([each for each in keys if each is not None]) != 1 or self.thing.startswith(OWN):
            faults.append(Fault("thing", "Say which one thing, or which task, is ticked."))
        elif (self.task_id is not None) != (self.occasion == "made"):
            faults.append(Fault("occasion", "Tasks are made, and things are packed."))
        refuse_if(faults)

    @property
    def key(self) -> str:
        """The key that is ticked."""
        if self.task_id is not None:
            return self.task_id
        return self.thing if self.thing_id is None else own_key(self.thing_id)


def tick_of(
    occasion: TickedFor, key: str, *, packed: bool, before: bool, amount: str = ""
) -> PackedTick | None:
    """The tick of a key; None where the key can be that of nothing."""
    said = partial(PackedTick, occasion, packed=packed, before=before, amount=amount)
    is_task, is_own = occasion == "made", key.startswith(OWN)
    if not is_task and not is_own:
        return said(key) if key else None
    named = key if is_task else key.removeprefix(OWN)
    if not is_id(named):
        return None
    if is_task:
        return said(task_id=named)
    return said(thing_id=named)


def holds_for(packed_for: str, needed: str) -> bool:
    """Whether what was packed for one amount is enough for another, both as the kit says them.

    Where no amount was told, or none is asked for, a tick stays what it is. Words that tell no
    amount ("a dozen") can only be the same or others.
    """
    if not packed_for or not needed or plain_name(packed_for) == plain_name(needed):
        return True
    had, asked = _amounts_in(packed_for), _amounts_in(needed)
    if had is None or asked is None:
        return False
    return all(had[unit] >= value - _SURELY_LESS for unit, value in asked.items())


def _amounts_in(words: str) -> defaultdict[str, float] | None:
    """Unit -> how much, of words like "150 ml + 2 dashes" and "4 + 1"; None where not readable.

    Ground coffee is a unit of its own, and for how much drink it is does not matter.
    """
    found: defaultdict[str, float] = defaultdict(float)
    for part in words.split("+"):
        if _A_COUNT.fullmatch(part.strip()):
            found[""] += int(part)
            continue
        dose, ground, _ = part.partition(f" {GROUND}")
        try:
            unit, value = parse_amount(dose).summed_as
        except InvalidInput:
            return None
        found[f"{unit}{ground}"] += value
    return found
