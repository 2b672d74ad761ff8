"""What Today shows, worked out of what is open."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from sqlmodel import Session

from server.domain.base.durations import format_apart
from server.domain.base.text import with_capital
from server.domain.routine.patterns import drinks_offered
from server.domain.routine.plan import layout
from server.domain.routine.rules import RuleSheet
from server.domain.runs.compare import verdict_on
from server.domain.runs.summary import RunLine
from server.domain.whole.next_steps import next_steps
from server.domain.whole.readiness import Ready, readiness
from server.domain.whole.step import Kind, NextStep, StepCure
from server.store.goals import load_goal
from server.store.routines import StoredRoutine
from server.store.runs import list_runs
from server.web.drift.goal_form import Aim, aim
from server.web.drinks.checked import checked
from server.web.frame.editing import routine_context
from server.web.frame.filters import clock_ms, short_day
from server.web.frame.forms import Form
from server.web.frame.shown import RoutinePage
from server.web.frame.telling import told
from server.web.plan.outlook import RISK, Outlooks
from server.web.plan.view import HeadChance, head_chance
from server.web.prepare.ready import prepare_ready
from server.web.today.gather import StateOfRoutine, aimed_at, open_of
from server.web.today.tape import TodayTape, today_tape

LATEST_TRIES = 3

MOST_OFFERS = 2
"""Buttons on a line; whatever else settles it stands where the thing itself stands."""

WRITING = frozenset({"write words", "cut words", "choose rules", "choose drink"})
"""Cures that lead to where something is written."""

STUBS: Mapping[Kind, tuple[str, str]] = {
    "wrong": ("wrong", "Wrong"),
    "nothing gives it": ("needs", "Nothing gives it"),
    "longer": ("longer", "Longer"),
    "over": ("longer", "Too many words"),
    "late": ("longer", "May be late"),
    "rules": ("needs", "Rules"),
    "never said": ("unsaid", "Never said"),
    "missed": ("missed", "Missed"),
    "not on the card": ("extra", "Not on card"),
    "remark": ("remark", "Remark"),
    "run": ("needs", "Run"),
    "learn": ("open", "By heart"),
    "not found": ("missed", "Not found"),
    "no drink": ("needs", "No drink"),
    "too long": ("longer", "Plan too long"),
}
"""Kind of a step -> the sign of its stub and the word on it."""


@dataclass(frozen=True)
class LastRun:
    """The last run that counts: its total, how it ended, and when and where it was."""

    id: str
    total: str
    words: str
    about: str


@dataclass(frozen=True)
class StepOffer:
    """A button of a step: it acts, or it is a link."""

    label: str
    action: str
    fields: Mapping[str, str]
    href: str = ""
    writes: bool = False
    """Whether it leads to where something is written: to nobody who only reads."""


@dataclass(frozen=True)
class StepLine:
    """A step as it stands in the list."""

    id: str
    stub: str
    word: str
    sentence: str
    detail: str
    offers: tuple[StepOffer, ...]


@dataclass(frozen=True)
class Try:
    """A run on the way to the goal: its total, and whether and how it met the goal."""

    run_id: str
    total: str
    met: bool
    words: str


@dataclass(frozen=True)
class WayToGoal:
    """The goal in words, the latest runs towards it, and how many are still to go."""

    words: str
    tries: tuple[Try, ...]
    left: int


@dataclass(frozen=True, kw_only=True)
class TodayPage(RoutinePage, folder="today"):
    """Where the presenter stands, and what to do next."""

    last: LastRun | None
    chance: HeadChance | None
    untold: tuple[str, ...]
    tape: TodayTape
    lines: tuple[StepLine, ...]
    ready: tuple[tuple[Ready, str], ...]
    aim: WayToGoal | None
    settled: tuple[str, str] | None
    form: Form
    drinks_planned: int
    open_run: str = ""
    """The run to follow just now, for who follows runs and presents none."""


def today_page(
    session: Session,
    stored: StoredRoutine,
    form: Form,
    outlooks: Outlooks,
    day: date,
    settled: tuple[str, str] | None = None,
) -> TodayPage:
    """What Today shows on that day; `settled` is a remark just called done."""
    head = routine_context(session, stored, "today")
    routine, rules = stored.routine, head["rules"]
    runs = [line for line in list_runs(session, routine.id) if line.status != "waiting"]
    outlook = outlooks.of(session, stored, rules)
    standing = StateOfRoutine(routine, rules, checked(routine, rules), outlook, runs)
    goal = aim(load_goal(session, routine.id).now, runs)
    open_ = open_of(session, standing, goal, day)
    counted = standing.counted
    last = counted[-1] if counted else None
    chance, untold = told(RISK, lambda: head_chance(outlook)) if routine.segments else (None, "")
    full = outlook.full if chance else None
    planned = layout(routine)
    prepared = prepare_ready(session, routine, rules)
    return TodayPage(
        **head,
        last=_last(last, rules) if last else None,
        chance=chance,
        untold=tuple(filter(None, (*standing.found.untold, outlook.untold, untold))),
        tape=today_tape(routine, rules, planned, last, full.processes if full else ()),
        lines=tuple(_line(step, routine.id) for step in next_steps(open_)),
        ready=(
            *(
                (each, _place_of(each, routine.id, rules))
                for each in readiness(open_)
                if each.about != "goal"
            ),
            *((prepared,) if prepared else ()),
        ),
        aim=_way(goal, runs) if goal else None,
        settled=settled,
        form=form,
        drinks_planned=drinks_offered(routine),
    )


def _last(line: RunLine, rules: RuleSheet) -> LastRun:
    verdict = verdict_on((line.total_ms or 0) / 1000, rules)
    over = verdict.to_slot_s > 0
    words = (
        f"last time, {format_apart(verdict.to_slot_s, 'over the slot', tenths=True)}"
        if over
        else "last time, inside the slot"
    )
    about = ", ".join(
        filter(
            None, (short_day(line.started_ms or line.created_ms), line.label, line.occasion.venue)
        )
    )
    return LastRun(line.id, clock_ms(line.total_ms), words, about)


def _way(goal: Aim, runs: Sequence[RunLine]) -> WayToGoal:
    totals_ms = {line.id: line.total_ms for line in runs}
    tries = tuple(
        Try(each.run_id, clock_ms(totals_ms[each.run_id]), each.met, each.words)
        for each in reversed(goal.attempts[:LATEST_TRIES])
    )
    return WayToGoal(with_capital(aimed_at(goal.goal)), tries, goal.progress.left)


def _line(step: NextStep, routine_id: str) -> StepLine:
    stub, word = STUBS[step.kind]
    offers = tuple(_offer(cure, routine_id) for cure in step.cures[:MOST_OFFERS])
    return StepLine(step.id, stub, word, step.sentence, step.detail, offers)


def _offer(cure: StepCure, routine_id: str) -> StepOffer:
    if cure.acts and cure.action != "end run":
        return StepOffer(cure.label, cure.action, cure.parameters)
    writes = cure.action in WRITING
    return StepOffer(cure.label, cure.action, cure.parameters, _href(cure, routine_id), writes)


def _href(cure: StepCure, routine_id: str) -> str:
    """Where what a cure only opens is done."""
    at = {name: quote(text) for name, text in cure.parameters.items()}
    here = f"/routines/{routine_id}"
    in_script = f"{here}/script?open=segment-{at.get('segment', '')}"
    return {
        "open claim": f"{here}/claims?open={at.get('claim', '')}",
        "write words": in_script,
        "cut words": in_script,
        "learn words": f"{here}/learn/say?show=missed",
        "say sentences": f"{here}/learn/say",
        "open process": f"{here}/plan?open=process-{at.get('process', '')}",
        "open plan": f"{here}/plan",
        "open run": f"/runs/{at.get('run', '')}",
        "end run": f"{here}/runs",
        "choose rules": f"/rules/{at.get('sheet', '')}",
        "choose drink": in_script,
        "open tasting": f"{here}/tastings/{at.get('sitting', '')}",
    }[cure.action]


def _place_of(line: Ready, routine_id: str, rules: RuleSheet) -> str:
    here = f"/routines/{routine_id}"
    return {
        "plan": f"{here}/plan",
        "drinks": f"{here}/drinks",
        "words": f"{here}/script",
        "claims": f"{here}/claims",
        "rules": f"/rules/{rules.id}",
    }[line.about]
