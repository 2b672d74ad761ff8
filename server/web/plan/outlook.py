"""The outlook of a routine: its model after all runs, and what was already asked of it.

Kept in the process for as long as neither the routine, nor its rule sheet, nor a run changes, so
that a page, the figures that follow a finger and the full forecast share one model.
"""

from collections import OrderedDict
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from threading import Lock
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends, Request
from sqlmodel import Session

from server.domain.belief.practice import PastRun, practice_of
from server.domain.belief.words_pace import learn_paces
from server.domain.claims.pace import Paces
from server.domain.risk.forecast import FULL, QUICK, cut_advice, forecast, start_options
from server.domain.risk.model import Model, model_of
from server.domain.risk.next_run import NextRun
from server.domain.risk.outcome import Forecast
from server.domain.risk.parts import KnownBeside, Parts, parts_of
from server.domain.routine.edits import part_of
from server.domain.routine.plan import steps_to
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.summary import RunLine
from server.domain.whole.segment_times import Takes, all_takes
from server.domain.whole.talk import past_runs, spoken_splits, voice_times
from server.domain.whole.tryouts import Tryout, all_tried, shorten
from server.store.past_plans import past_plans
from server.store.routines import StoredRoutine, change_of, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import list_runs
from server.web.frame.dependencies import now_ms
from server.web.frame.local_zone import midnight_ms, today
from server.web.frame.telling import told

if TYPE_CHECKING:
    from server.domain.belief.practised import Practised
    from server.domain.risk.advice import CutAdvice, StartOption

MOST_OUTLOOKS = 16
RISK = "The chance to finish in time"
"""What cannot be told where a forecast fails."""

MOST_DRAWS = 3_000_000
"""Segments times slots of a full forecast: up to 30 segments have all their slots."""


@dataclass(frozen=True)
class ExpectedStep:
    """How long it is expected to take from the mark before a segment to its own (s).

    `day` and `own` are deviations of its logarithm: what it shares with all of the run, and what
    is its own. A run that is under way tells of the day by them.
    """

    seconds: float
    day: float
    own: float


class Outlook:
    """A routine under its rule sheet, with what its runs have taught."""

    def __init__(
        self,
        routine: Routine,
        rules: RuleSheet,
        paces: Paces,
        past: Sequence[PastRun],
        now_ms: int | None = None,
        untold: str = "",
        before: "Practised | None" = None,
    ) -> None:
        self.untold = untold
        """Why the runs are not in it; "" where they are."""
        self.routine = routine
        self.rules = rules
        self.paces = paces
        self._lock = Lock()
        self._lines = [each.line for each in past]
        self._past = tuple(each for each in past if each.line.counts)
        self._advised: dict[tuple[float, float | None], CutAdvice] = {}
        self._starts: dict[str, tuple[StartOption, ...]] = {}
        practice = practice_of(routine, past)
        self.model = model_of(self._parts_of(routine), practice, now_ms, before)

    def still_tells(self, routine: Routine, rules: RuleSheet, lines: Sequence[RunLine]) -> bool:
        """Whether all it is made of is as it was: much of a routine changes nothing here, such as
        its goal, what is known of it by heart, or a recording."""
        return (self.routine, self.rules, self._lines) == (routine, rules, lines)

    def changed(self, routine: Routine, fitted: Collection[str] = ()) -> Model:
        """The model of the routine as changed: the one it will have when saved, the luck kept.

        Words of `fitted` segments are taken to be cut to their planned time meanwhile.
        """
        return self.model.changed(self._parts_of(routine, fitted))

    def _parts_of(self, routine: Routine, fitted: Collection[str] = ()) -> Parts:
        voice_s = voice_times(routine.segments, self.paces, routine.language, fitted)
        return parts_of(routine, KnownBeside(voice_s=voice_s))

    @property
    def expected_s(self) -> dict[str, float]:
        """Segment id -> how long it is expected to take, after the runs."""
        return {each.id: self.model.beliefs[each.id].median_s for each in self.routine.segments}

    @cached_property
    def takes(self) -> dict[str, Takes]:
        """Segment id -> how long it takes beside what is planned for it."""
        words_s = voice_times(self.routine.segments, self.paces, self.routine.language)
        return all_takes(self.routine.segments, self.model.estimates, self._past, words_s)

    @property
    def known(self) -> Forecast | None:
        """The forecast over all slots, where it was asked for before; it takes a moment."""
        return self.__dict__.get("_full")

    @property
    def full(self) -> Forecast:
        """The forecast over all slots, simulated once."""
        with self._lock:
            return self._full

    @cached_property
    def _full(self) -> Forecast:
        return self.of(self.model)

    @property
    def next_run(self) -> NextRun:
        """What is told of the next run on every page that speaks of it."""
        belief = self.model.told
        return NextRun(self.full, belief.why, belief.past)

    def shortened(self, routine: Routine, segment_id: str, seconds: float) -> Tryout:
        """The tryout of a segment so many seconds shorter than it takes now. Raises NotFound."""
        part_of(self.routine.segments, segment_id)
        takes_s = min(self.expected_s[segment_id], self.model.parts.likely_s[segment_id])
        return shorten(routine, segment_id, seconds, takes_s, self.paces)

    def tried(self, tryouts: Sequence[Tryout]) -> Model:
        """The model of the routine after all these tryouts."""
        fitted = frozenset[str]().union(*(each.fitted for each in tryouts))
        return self.changed(all_tried(self.routine, tryouts), fitted)

    def advice(self, level: float, by_s: float | None = None) -> "CutAdvice":
        """What to cut to be inside the slot with the chance `level`, each as `tried` has it.

        With `by_s` each cut is of so many seconds.

        Asked once, it is kept: it takes as long as all else on a page.
        """

        def shorter(segment_id: str, seconds: float) -> Model:
            return self.tried([self.shortened(self.routine, segment_id, seconds)])

        now = self.full
        with self._lock:
            asked = level, by_s
            if asked not in self._advised:
                found = cut_advice(self.model, self.rules, level, shorter, now, by_s)
                self._advised = {asked: found}
            return self._advised[asked]

    def starts(self, process_id: str) -> "tuple[StartOption, ...]":
        """What an earlier start of a process is worth; kept once it was asked."""
        with self._lock:
            if process_id not in self._starts:
                self._starts[process_id] = start_options(self.model, self.rules, process_id)
            return self._starts[process_id]

    def expected_steps(self, routine: Routine) -> dict[str, ExpectedStep]:
        """Segment id -> its step from mark to mark, as expected after the runs.

        `routine` is this one, or as a run froze it. Together they come to the finish that half of
        all slots keep: medians alone add up to less, for slow days and mishaps go one way.
        """
        is_this = routine == self.routine
        model = self.model if is_this else self.changed(routine)
        expected = model.expected
        ends_s = {each: times.end_s for each, times in expected.times.items()}
        steps = steps_to(routine.segments, ends_s)
        half_s = (self.full if is_this else self.quick(model)).quantile_s(0.5)
        ratio = half_s / expected.finish_s if expected.finish_s > 0 else 1.0
        return {
            each: ExpectedStep(
                round(seconds * ratio, 3),
                round(model.beliefs[each].day_scale, 4),
                round(model.beliefs[each].own_scale, 4),
            )
            for each, seconds in steps.items()
        }

    def quick(self, model: Model) -> Forecast:
        """The forecast of a changed model over fewer slots, for figures that follow; no chains."""
        return forecast(model, self.rules, QUICK, with_chains=False)

    def of(self, model: Model) -> Forecast:
        """The forecast of a changed model over all slots; fewer of them for a very long plan."""
        return forecast(model, self.rules, self._slots(model))

    def _slots(self, model: Model) -> int:
        count = max(len(model.parts.segments), 1)
        return min(FULL, max(QUICK, MOST_DRAWS // count))


class Outlooks:
    """The outlooks last asked for."""

    def __init__(self, most: int = MOST_OUTLOOKS, clock_ms: Callable[[], int] = now_ms) -> None:
        self._kept: OrderedDict[tuple[str, int, date], Outlook] = OrderedDict()
        self._most = most
        self._clock_ms = clock_ms
        self._lock = Lock()

    def of_routine(self, session: Session, routine_id: str) -> Outlook:
        """The outlook of a routine as it is stored. Raises NotFound."""
        # What follows a finger asks many times a second: one number tells that all still stands.
        day = today(self._clock_ms())
        kept = self._kept.get((routine_id, change_of(session, routine_id), day))
        if kept is not None:
            return kept
        stored = load_routine(session, routine_id)
        return self.of(session, stored, load_rule_sheet(session, stored.routine.rule_sheet_id))

    def of(
        self,
        session: Session,
        stored: StoredRoutine,
        rules: RuleSheet,
        lines: Sequence[RunLine] | None = None,
    ) -> Outlook:
        """The outlook of a routine as it stands; `lines` are its runs where they are known."""
        # The change counts runs as well, and changes of the rule sheet. A break is counted in whole
        # days, so that pages of one day agree.
        day = today(self._clock_ms())
        key = (stored.routine.id, stored.change, day)
        kept = self._kept.get(key)
        if kept is None or kept.rules != rules:
            lines = list_runs(session, stored.routine.id) if lines is None else list(lines)
            kept, kept_day = self._last(stored.routine.id)
            if (
                kept is None
                or kept_day != day
                or not kept.still_tells(stored.routine, rules, lines)
            ):
                before = None if kept is None else kept.model.practised
                kept = _make(session, stored.routine, rules, midnight_ms(day), lines, before)
        with self._lock:
            for stale in [each for each in self._kept if each[0] == key[0] and each != key]:
                del self._kept[stale]
            self._kept[key] = kept
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return kept

    def _last(self, routine_id: str) -> tuple[Outlook | None, date | None]:
        """What was last made of a routine, and on which day."""
        with self._lock:
            found = [(kept, key[2]) for key, kept in self._kept.items() if key[0] == routine_id]
        return found[-1] if found else (None, None)


async def outlooks_for(request: Request) -> Outlooks:
    """The outlooks that this app keeps; made for the first who asks, for no start needs them."""
    state = request.app.state
    if state.outlooks is None:
        state.outlooks = Outlooks()
    held: Outlooks = state.outlooks
    return held


HeldOutlooks = Annotated[Outlooks, Depends(outlooks_for)]


def _make(
    session: Session,
    routine: Routine,
    rules: RuleSheet,
    at_ms: int,
    lines: Sequence[RunLine],
    before: "Practised | None",
) -> Outlook:
    then = {run_id: plan.segments for run_id, plan in past_plans(session, routine.id).items()}

    def learnt() -> Outlook:
        paces = learn_paces(spoken_splits(routine, lines, then))
        past = past_runs(lines, then, paces, routine.language)
        return Outlook(routine, rules, paces, past, at_ms, before=before)

    found, why = told("What your runs say of this plan", learnt)
    # The plan opens all the same, by its own durations.
    return found or Outlook(routine, rules, learn_paces(()), (), untold=why)
