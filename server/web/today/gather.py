"""What is open in a routine, gathered from its rooms for the list of what to do next."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from sqlmodel import Session

from server.demo import demo_file
from server.domain.base.durations import left_of
from server.domain.base.number_words import counted
from server.domain.claims.backing import State
from server.domain.claims.cures import cures_of, short_reason
from server.domain.claims.rows import TO_SETTLE, LedgerRow
from server.domain.drift.goals import Goal
from server.domain.risk.processes import expected_processes
from server.domain.routine.routine import Routine, Segment
from server.domain.routine.rules import RuleSheet
from server.domain.runs.summary import RunLine
from server.domain.whole import open_things
from server.domain.whole.readiness import beyond_slot_s, empty_s, written_for_others
from server.domain.whole.talk import words_over
from server.store.runs import load_run
from server.store.settled import settled_remarks
from server.web.drift.goal_form import Aim
from server.web.drinks.checked import Checked
from server.web.drinks.view import unknown_of
from server.web.frame.filters import clock, short_day
from server.web.frame.telling import told
from server.web.learn.gather import learning_of
from server.web.plan.outlook import RISK, Outlook
from server.web.script.check import row_id
from server.web.tasters.told import tasted_words

RECENT_RUNS = 3
"""Runs whose remarks are still listed."""

MOST_JUDGED = 3
"""Grown segments whose cost in chance is worked out: each takes a forecast."""


@dataclass(frozen=True)
class StateOfRoutine:
    """What Today is made of: the routine under its rules, its claims, its runs and what they say.

    `runs` are those that were started, oldest first.
    """

    routine: Routine
    rules: RuleSheet
    found: Checked
    outlook: Outlook
    runs: Sequence[RunLine]

    @property
    def counted(self) -> list[RunLine]:
        """The runs that enter figures, oldest first."""
        return [line for line in self.runs if line.counts]


def open_of(
    session: Session, standing: StateOfRoutine, aim: Aim | None, day: date
) -> open_things.Open:
    """All that is open in a routine on that day."""
    routine = standing.routine
    last = standing.counted[-1] if standing.counted else None
    return open_things.Open(
        claims=tuple(_claims(standing)),
        claims_to_settle=standing.found.open_points,
        grown=tuple(_grown(standing)),
        wordy=tuple(_wordy(standing)),
        unheard=None if last is None else _unheard(last),
        remarks=tuple(_remarks(session, standing.counted)),
        processes=tuple(_late(standing)),
        runs=tuple(_pending(standing.runs)),
        rules_invented=is_invented(standing.rules),
        rule_sheet_id=standing.rules.id,
        goal=None if aim is None else open_things.GoalAhead(aimed_at(aim.goal), aim.progress.left),
        drinks=standing.found.untold,
        unknown_parts=unknown_of(routine),
        no_parts=not any(drink.ingredients for drink in routine.drinks),
        spare_s=_spare_s(standing) if routine.segments else None,
        beyond_slot_s=beyond_slot_s(routine, standing.rules),
        empty_s=empty_s(routine, standing.rules),
        serves_asked=standing.rules.serves_per_drink,
        for_others=written_for_others(routine, standing.rules),
        to_say=told("What to say today", lambda: _to_say(session, standing, day))[0],
        unfound=tuple(_unfound(session, routine)),
        drinkless_segment_id=_drinkless(routine),
    )


def _drinkless(routine: Routine) -> str | None:
    """Where to begin to say which drink a segment is about; None where that is known of any."""
    if len(routine.drinks) < 2 or any(each.drink_id for each in routine.segments):
        return None
    return next((each.id for each in routine.segments if each.said), None)


def _to_say(session: Session, standing: StateOfRoutine, day: date) -> open_things.ToSay | None:
    """What to say by heart, once a day is set or learning has begun."""
    paces = standing.outlook.paces
    found = learning_of(session, standing.routine, standing.found, paces, standing.runs, day)
    if not found.is_wanted or not found.standings:
        return None
    return open_things.ToSay(
        found.session.count,
        found.session.minutes,
        1 - found.sitting / len(found.standings),
        sum(each.is_lost for each in found.session.back),
        None if found.stage is None else (found.stage - day).days,
    )


def is_invented(rules: RuleSheet) -> bool:
    """Whether a rule sheet is the invented one of every new database, whatever its notes say."""
    shipped = _shipped_rules()
    return replace(rules, id=shipped.id, notes=shipped.notes) == shipped


@cache
def _shipped_rules() -> RuleSheet:
    return demo_file().rules


def aimed_at(goal: Goal) -> str:
    """A goal in words: "3 in a row, 9:40 to 9:58"."""
    runs = f"{goal.runs} in a row" if goal.in_a_row and goal.runs > 1 else counted(goal.runs, "run")
    return f"{runs}, {clock(goal.low_s)} to {clock(goal.high_s)}"


def state_of(row: LedgerRow) -> State | None:
    """How a claim is to be settled; None where it is in order, or cannot be checked.

    What the hands do is no claim.
    """
    if row.in_hands:
        return None
    # Only a word of a drink can be put on its card; numbers stand on no card.
    is_homeless = not (row.word and row.drink_id and row.kind == "descriptor")
    if not row.is_checked or (row.state == "unplanned" and is_homeless):
        return None
    return row.state if row.state in TO_SETTLE else None


def _claims(standing: StateOfRoutine) -> Iterator[open_things.OpenClaim]:
    routine = standing.routine
    drinks = {drink.id: drink.name for drink in routine.drinks}
    has_recipe = any(drink.ingredients for drink in routine.drinks)
    for row in standing.found.ledger.rows:
        # Nothing gives anything before there is a recipe: the readiness asks for that.
        if (state := state_of(row)) is None or (state == "unbacked" and not has_recipe):
            continue
        said = row.sayings[0] if row.sayings else None
        yield open_things.OpenClaim(
            id=row_id(row.key),
            state=state,
            word=row.word or row.label,
            why=short_reason(row, routine),
            drink=drinks.get(row.drink_id or "", ""),
            at_s=said.at_s if said else None,
            segment_id=said.segment_id if said else _about(routine, row.drink_id),
            cures=tuple((cure.id, cure.short) for cure in cures_of(row, routine) if cure.is_likely),
            is_said=said is not None,
        )


def _about(routine: Routine, drink_id: str | None) -> str | None:
    """The first segment about a drink in which something is said."""
    return next((s.id for s in routine.segments if s.drink_id == drink_id and s.said), None)


def _grown(standing: StateOfRoutine) -> Iterator[open_things.Grown]:
    routine, rules, takes = standing.routine, standing.rules, standing.outlook.takes
    found = [(each, takes[each.id]) for each in routine.segments if takes[each.id].has_grown]
    found.sort(key=lambda each: -each[1].over_s)
    for place, (segment, now) in enumerate(found):
        chance_lost = _chance_lost(standing, segment) if place < MOST_JUDGED else 0.0
        beyond_s = beyond_slot_s(routine, rules, segment.id, now.takes_s)
        yield open_things.Grown(
            segment.id, segment.name, now.planned_s, now.takes_s, now.longer_runs,
            chance_lost, bool(segment.said), beyond_s,
        )  # fmt: skip


def _chance_lost(standing: StateOfRoutine, segment: Segment) -> float:
    """By how much the chance would be greater were a segment done as planned."""
    outlook = standing.outlook
    over_s = outlook.takes[segment.id].over_s

    def lost() -> float:
        shorter = outlook.tried([outlook.shortened(standing.routine, segment.id, over_s)])
        return outlook.quick(shorter).chance_inside - outlook.quick(outlook.model).chance_inside

    chance, _ = told(RISK, lost)
    return max(0.0, chance or 0.0)


def _wordy(standing: StateOfRoutine) -> Iterator[open_things.Wordy]:
    routine, paces, takes = standing.routine, standing.outlook.paces, standing.outlook.takes
    for segment in routine.segments:
        found = takes[segment.id]
        if found.words_s is not None and found.words_over_s:
            too_many = words_over(segment, paces, routine.language)
            yield open_things.Wordy(
                segment.id,
                segment.name,
                found.planned_s,
                found.words_s,
                too_many,
                beyond_slot_s=beyond_slot_s(routine, standing.rules, segment.id, found.words_s),
            )


def _spare_s(standing: StateOfRoutine) -> float | None:
    """The planned time of what is spoken, less what its words take."""
    spoken = [
        (each.planned_s, each.words_s)
        for each in standing.outlook.takes.values()
        if each.words_s is not None
    ]
    if not spoken:
        return None
    planned_s, words_s = map(sum, zip(*spoken, strict=True))
    return left_of(planned_s, words_s)


def _unheard(line: RunLine) -> open_things.Unheard | None:
    ticks = line.summary.claims

    def words(verdict: str) -> tuple[str, ...]:
        return tuple(key.split(":", 2)[-1] for key, each in ticks.items() if each == verdict)

    if not ticks:
        return None
    return open_things.Unheard(line.id, f"On {_when(line)}", words("missed"), words("wrong"))


def _when(line: RunLine) -> str:
    when = short_day(line.started_ms or line.created_ms)
    return f"{when}, “{line.label}”" if line.label else when


def _remarks(session: Session, runs: Sequence[RunLine]) -> Iterator[open_things.OpenRemark]:
    recent = list(reversed(runs))[:RECENT_RUNS]
    settled = settled_remarks(session, [line.id for line in recent])
    for ago, line in enumerate(recent):
        for note in load_run(session, line.id).state.notes:
            if note.who and (line.id, note.id) not in settled:
                at_s = note.elapsed_ms / 1000
                yield open_things.OpenRemark(line.id, note.id, note.text, note.who, at_s, ago)


def _late(standing: StateOfRoutine) -> Iterator[open_things.LateProcess]:
    full, _ = told(RISK, lambda: standing.outlook.full)
    if full is None:
        return
    names = {segment.id: segment.name for segment in standing.routine.segments}
    processes = {each.id: each for each in standing.routine.processes}
    times = {each.id: each for each in expected_processes(standing.outlook.model)}
    for risk in full.processes:
        process, placed = processes[risk.id], times[risk.id]
        if placed.due_s is None:
            continue
        earlier = placed.safe_after_id
        is_earlier = earlier is not None and earlier != process.after_segment_id
        yield open_things.LateProcess(
            risk.id,
            risk.name,
            risk.chance_ready,
            placed.due_s,
            bool(process.fallback),
            earlier if is_earlier else None,
            names.get(earlier or "", "") if is_earlier else "",
        )


def _pending(runs: Sequence[RunLine]) -> Iterator[open_things.PendingRun]:
    for line in runs:
        if line.is_open:
            yield open_things.PendingRun(line.id, f"the run of {_when(line)}", "open")
        elif line.doubt and line.excluded is None and line.status == "finished":
            yield open_things.PendingRun(
                line.id, f"the run of {_when(line)}", "doubtful", line.why_not
            )


def _unfound(session: Session, routine: Routine) -> Iterator[open_things.Unfound]:
    """Words still on the card of the drink as it was tasted, which no taster found."""
    cards = {(drink.id, word.casefold()) for drink in routine.drinks for word in drink.descriptors}
    for key, each in tasted_words(session, routine).items():
        if each.is_current and each.finding.is_missed and key in cards:
            finding = each.finding
            yield open_things.Unfound(each.sitting_id, each.drink, finding.word, finding.tasters)
