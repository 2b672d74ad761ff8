"""The outlook of a routine: its model after all runs, and what was already asked of it.

Kept in the process for as long as neither the routine, nor its rule sheet, nor a run changes, so
that a page, the figures that follow a finger and the full forecast share one model.
"""

from collections import OrderedDict
from functools import cached_property
from threading import Lock
from typing import Annotated

from fastapi import Depends, Request
from sqlmodel import Session

from server.domain.claims.pace import Pace, learn_pace
from server.domain.risk.forecast import FULL, QUICK, forecast
from server.domain.risk.measured import PastRun, measured_runs
from server.domain.risk.model import Model, model_of
from server.domain.risk.outcome import Forecast
from server.domain.risk.parts import Beside, Parts, parts_of
from server.domain.routine import Routine
from server.domain.rules import RuleSheet
from server.domain.talk import planned_times, spoken_splits, voice_times
from server.store.past_plans import past_plans
from server.store.routines import StoredRoutine
from server.store.runs import list_runs

MOST_OUTLOOKS = 16


class Outlook:
    """A routine under its rule sheet, with what its runs have taught."""

    def __init__(self, routine: Routine, rules: RuleSheet, model: Model, pace: Pace) -> None:
        self.routine = routine
        self.rules = rules
        self.model = model
        self.pace = pace
        self._lock = Lock()

    def parts_of(self, routine: Routine) -> Parts:
        """The parts of this routine as changed, at the same pace."""
        return parts_of(routine, _beside(routine, self.pace))

    def changed(self, routine: Routine) -> Model:
        """The model of the routine as changed, with the same luck."""
        return self.model.changed(self.parts_of(routine))

    @property
    def full(self) -> Forecast:
        """The forecast over all slots, simulated once."""
        with self._lock:
            return self._full

    @cached_property
    def _full(self) -> Forecast:
        return forecast(self.model, self.rules, FULL)

    def quick(self, model: Model) -> Forecast:
        """The forecast of a changed model over fewer slots, for figures that follow."""
        return forecast(model, self.rules, QUICK)

    def of(self, model: Model) -> Forecast:
        """The forecast of a changed model over all slots."""
        return forecast(model, self.rules, FULL)


class Outlooks:
    """The outlooks last asked for."""

    def __init__(self, most: int = MOST_OUTLOOKS) -> None:
        self._kept: OrderedDict[tuple[str, int], Outlook] = OrderedDict()
        self._most = most
        self._lock = Lock()

    def of(self, session: Session, stored: StoredRoutine, rules: RuleSheet) -> Outlook:
        """The outlook of a routine as it stands."""
        # The change counts runs as well, and changes of the rule sheet.
        key = (stored.routine.id, stored.change)
        kept = self._kept.get(key)
        if kept is None or kept.rules != rules:
            kept = _make(session, stored.routine, rules)
        with self._lock:
            self._kept[key] = kept
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return kept


async def _outlooks(request: Request) -> Outlooks:
    held: Outlooks = request.app.state.outlooks
    return held


HeldOutlooks = Annotated[Outlooks, Depends(_outlooks)]


def _make(session: Session, routine: Routine, rules: RuleSheet) -> Outlook:
    lines = list_runs(session, routine.id)
    then = {run_id: plan.segments for run_id, plan in past_plans(session, routine.id).items()}
    pace = learn_pace(spoken_splits(routine, lines, then))
    past = [
        PastRun(line, planned_times(then.get(line.id, ()), pace, routine.language))
        for line in lines
    ]
    parts = parts_of(routine, _beside(routine, pace))
    runs = measured_runs(routine, parts.likely_s, past)
    return Outlook(routine, rules, model_of(parts, runs), pace)


def _beside(routine: Routine, pace: Pace) -> Beside:
    return Beside(voice_s=voice_times(routine.segments, pace, routine.language))
