"""How long a parallel process takes, worked out where the routine says enough about it."""

from dataclasses import dataclass
from typing import Literal

from server.domain.base.errors import InvalidInput
from server.domain.glass.cooling import USUAL_COOLING_PER_MIN, minutes_to_reach
from server.domain.glass.vessel import Vessel
from server.domain.risk.filtration import fit
from server.domain.routine.edits import part_of
from server.domain.routine.estimate import Estimate, estimate_by
from server.domain.routine.routine import Process, Routine, Spread

Law = Literal["filtration", "heat"]


@dataclass(frozen=True)
class WorkedOut:
    """A process' time by a law: constant-pressure filtration, or Newton's law of cooling."""

    law: Law
    estimate: Estimate

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


def _by_heat(routine: Routine, process: Process, from_c: float, to_c: float) -> Estimate:
    service = part_of(routine.drinks, process.vessel_drink_id or "").service
    cooling = (service.vessel or Vessel()).cooling_per_min or USUAL_COOLING_PER_MIN

    def time_s(per_min: float) -> float:
        return 60 * minutes_to_reach(from_c, service.room_c, per_min, to_c)

    return estimate_by(time_s, cooling.least, cooling.value, cooling.most)
