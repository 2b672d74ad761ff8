"""How long a parallel process takes, worked out where the routine says enough about it."""

from dataclasses import dataclass
from itertools import product
from typing import Literal

from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.cooling import minutes_to_reach
from server.domain.glass.liquid import volume_ml
from server.domain.risk.filtration import fit
from server.domain.routine.edits import part_of
from server.domain.routine.estimate import TimeEstimate
from server.domain.routine.routine import Process, Routine, Spread
from server.domain.routine.waiting import batch_ml, cooling_of

Law = Literal["filtration", "heat"]


@dataclass(frozen=True)
class WorkedOut:
    """A process' time by a law: constant-pressure filtration, or Newton's law of cooling."""

    law: Law
    estimate: TimeEstimate

    @property
    def spread(self) -> Spread:
        """The time as a planned duration, in whole seconds."""
        low_s, likely_s, high_s = (
            float(round(each))
            for each in (self.estimate.low_s, self.estimate.likely_s, self.estimate.high_s)
        )
        return Spread(likely_s, low_s, high_s)


def worked_out(routine: Routine, process: Process) -> WorkedOut | None:
    """The time of a process by its readings or its temperatures; None where it has neither.

    Raises InvalidInput where what is given contradicts itself or is not enough.
    """
    if process.readings:
        if process.batch_ml is None:
            raise InvalidInput.of("batch", "Say how much has to come through.")
        law = fit(process.readings)
        return WorkedOut("filtration", law.batch(process.batch_ml, process.falling_head))
    if process.from_c is not None and process.to_c is not None and process.vessel_drink_id:
        return WorkedOut("heat", _by_heat(routine, process, process.from_c, process.to_c))
    return None


def _by_heat(routine: Routine, process: Process, from_c: float, to_c: float) -> TimeEstimate:
    """The time over all that is not sure: how fast so much cools there, and how warm the room is.

    It moves one way with each, so that the corners of their ranges are the ends of its own.
    """
    service = part_of(routine.drinks, process.vessel_drink_id or "").service
    cooling, room = cooling_of(service, _held_ml(routine, process)), service.room
    likely_s = 60 * minutes_to_reach(from_c, room.value, cooling.value, to_c)
    try:
        ends_s = [
            60 * minutes_to_reach(from_c, room_c, per_min, to_c)
            for room_c, per_min in product((room.least, room.most), (cooling.least, cooling.most))
        ]
    except InvalidInput as error:
        span = f"{room.least:g} to {room.most:g} °C"
        raise InvalidInput.of("to", f"Not in every room of {span}: measure the room.") from error
    return TimeEstimate(min(likely_s, *ends_s), likely_s, max(likely_s, *ends_s))


def _held_ml(routine: Routine, process: Process) -> float:
    """How much cools together: the batch of what the process makes, else one serve of the drink."""
    for drink in routine.drinks:
        for part in drink.ingredients:
            if part.id == process.product_id:
                return batch_ml(drink, part)
    drink = part_of(routine.drinks, process.vessel_drink_id or "")
    return volume_ml(balance(drink).serve_liquid) if drink.ingredients else 0.0
