"""What is ticked of the kit and of what is made ahead, as it leaves and comes with a file."""

import re
from dataclasses import dataclass
from typing import Literal

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import limit_faults
from server.domain.base.text import Line

TickedFor = Literal["home", "event", "made"]
"""Practice at home, the event, and the tasks of what is made ahead."""

MOST_TICKS = 1000
_OWN = "own:"
_AN_ID = re.compile(r"[A-Za-z0-9_-]{1,64}")


@dataclass(frozen=True)
class PackedTick(Document):
    """Whether a thing is packed, or a task done, and whether it was the time before.

    Keys that hold an id stand as that id, so that it follows where ids are given anew: `thing_id`
    of a thing added by hand, `task_id` of a task; otherwise `thing` is the key in the kit.
    """

    occasion: TickedFor
    thing: Line = ""
    thing_id: Id | None = None
    task_id: Id | None = None
    packed: bool = False
    before: bool = False

    def __post_init__(self) -> None:
        faults = limit_faults(self)
        keys = (self.thing or None, self.thing_id, self.task_id)
        if len([each for each in keys if each is not None]) != 1 or self.thing.startswith(_OWN):
            faults.append(Fault("thing", "Say which one thing, or which task, is ticked."))
        elif (self.task_id is not None) != (self.occasion == "made"):
            faults.append(Fault("occasion", "Tasks are made, and things are packed."))
        refuse_if(faults)

    @property
    def key(self) -> str:
        """The key that is ticked."""
        if self.task_id is not None:
            return self.task_id
        return self.thing if self.thing_id is None else f"{_OWN}{self.thing_id}"


def tick_of(occasion: TickedFor, key: str, *, packed: bool, before: bool) -> PackedTick | None:
    """The tick of a key; None where the key can be that of nothing."""
    is_task, is_own = occasion == "made", key.startswith(_OWN)
    if not is_task and not is_own:
        return PackedTick(occasion, key, packed=packed, before=before) if key else None
    named = key if is_task else key.removeprefix(_OWN)
    if not _AN_ID.fullmatch(named):
        return None
    if is_task:
        return PackedTick(occasion, task_id=named, packed=packed, before=before)
    return PackedTick(occasion, thing_id=named, packed=packed, before=before)
