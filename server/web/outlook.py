"""The outlook of a routine: its model after all runs, and what was already asked of it.

Kept in the process for as long as neither the routine, nor its rule sheet, nor a run changes, so
that a page, the figures that follow a finger and the full forecast share one model.
"""

from collections import OrderedDict
from collections.abc import Sequence
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
from server.domain.risk.parts import Beside, parts_of
from server.domain.routine import Routine
from server.domain.rules import RuleSheet
from server.domain.talk import planned_times, spoken_splits, voice_times
from server.store.past_plans import past_plans
from server.store.routines import StoredRoutine
from server.store.runs import list_runs
from server.web.telling import told

MOST_OUTLOOKS = 16

RISK = "The chance to finish in time"
"""What cannot be told where a forecast fails."""


class Outlook:
    """A routine under its rule sheet, with what its runs have taught."""

    def __init__(
        self,
        routine: Routine,
        rules: RuleSheet,
        pace: Pace,
        past: Sequence[PastRun],
        untold: str = "",
    ) -> None:
        self.untold = untold
        """Why the runs are not in it; "" where they are."""
        self.routine = routine
        self.rules = rules
        self.pace = pace
        self._past = past
        self._lock = Lock()
        self.model = self._model_of(routine, None)

    def changed(self, routine: Routine) -> Model:
        """The model of the routine as changed: the one it will have when saved, the luck kept."""
        return self._model_of(routine, self.model)

    def _model_of(self, routine: Routine, like: Model | None) -> Model:
        voice_s = voice_times(routine.segments, self.pace, routine.language)
        parts = parts_of(routine, Beside(voice_s=voice_s))
        return model_of(parts, measured_runs(routine, parts.likely_s, self._past), like)

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

    def learnt() -> Outlook:
        pace = learn_pace(spoken_splits(routine, lines, then))
        past = [
            PastRun(line, planned_times(then.get(line.id, ()), pace, routine.language))
            for line in lines
        ]
        return Outlook(routine, rules, pace, past)

    found, why = told("What your runs say of this plan", learnt)
    # The plan opens all the same, by its own durations.
    return found or Outlook(routine, rules, learn_pace(()), (), untold=why)
