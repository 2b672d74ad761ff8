"""The risk of a plan in full: what carries it, what to cut, when to start, in which order."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.numbers import write_number
from server.domain.belief.mishaps import Incidents
from server.domain.risk.forecast import propose_order
from server.domain.risk.model import Model
from server.domain.risk.outcome import Forecast, ProcessRisk, SegmentRisk
from server.domain.risk.processes import ProcessTimes, expected_processes
from server.domain.routine.edits import part_of
from server.domain.routine.estimate import TimeEstimate
from server.domain.routine.plan import Layout, layout
from server.domain.routine.routine import Process, Routine, Segment
from server.domain.whole.talk import words_over
from server.domain.whole.tryouts import reorder
from server.store.routines import StoredRoutine, load_routine
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import Edit, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.frame.telling import told
from server.web.plan.chances import Chance, NextRunTold, chances_of, told_of
from server.web.plan.finish_picture import FinishPicture, finish_picture
from server.web.plan.outlook import RISK, HeldOutlooks, Outlook, Outlooks
from server.web.plan.view import PlanHeadline, headline_of

if TYPE_CHECKING:
    from server.domain.belief.believe import PartBelief
    from server.domain.risk.advice import Cut, CutAdvice, StartOption
    from server.domain.risk.optimise import OrderProposal

router = APIRouter(prefix="/routines/{routine_id}/plan")

USUAL_LEVEL = "95"

CUTS_S = (5, 10, 15)
"""Seconds of which it is shown at one touch where cutting so many helps most."""


@dataclass(frozen=True)
class RiskShare:
    """A segment with what it adds to the risk, and what is believed of it."""

    segment: Segment
    number: int
    risk: SegmentRisk
    belief: "PartBelief"
    estimate: TimeEstimate


@dataclass(frozen=True)
class ProcessRiskRow:
    """A process with its chances and its times in the plan; None for what is not known."""

    process: Process
    risk: ProcessRisk | None
    times: ProcessTimes
    safe_after: str | None


@dataclass(frozen=True)
class CutLine:
    """A cut as advised, and about how many words must go with it."""

    cut: "Cut"
    words: int


@dataclass(frozen=True)
class Wanted:
    """What is asked for: how sure to be, how many seconds to cut instead, and whether an order."""

    level: float
    by_s: int | None = None
    proposing: bool = False


@dataclass(frozen=True)
class Reckoned:
    """Everything that is worked out of a plan that has segments."""

    head: PlanHeadline
    told: NextRunTold
    forecast: Forecast
    day_share: float
    incidents: Incidents
    figures: tuple[Chance, ...]
    picture: FinishPicture
    shares: tuple[RiskShare, ...]
    processes: tuple[ProcessRiskRow, ...]
    advice: "CutAdvice"
    by_s: int | None
    offered_s: tuple[int, ...]
    cuts: tuple[CutLine, ...]
    starts: "tuple[tuple[str, tuple[StartOption, ...]], ...]"
    placed: Layout
    movable: tuple[Segment, ...]
    proposal: "OrderProposal | None"
    names: dict[str, str]


@dataclass(frozen=True, kw_only=True)
class RiskPage(RoutinePage, folder="risk"):
    """The chances of a plan; `shown` is None where there is nothing to foretell."""

    shown: Reckoned | None
    untold: str
    form: Form


@router.get("/risk")
def risk_page(
    request: Request,
    session: ReadSession,
    outlooks: HeldOutlooks,
    routine_id: str,
    level: str = USUAL_LEVEL,
    order: str = "",
    by: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    form, wanted = _level(level)
    by_s = next((each for each in CUTS_S if str(each) == by), None)
    asked = Wanted(wanted, by_s, proposing=bool(order))
    shown = risk_context(session, stored, outlooks, form, asked)
    return page(request, shown, 422 if form.faults else 200)


@router.post("/order")
def post_order(edit: Edit, outlooks: HeldOutlooks) -> Response:
    """Take the proposed order over."""
    order = [each for each in edit.typed.text("order").split(",") if each]

    def change(routine: Routine) -> Routine:
        try:
            return reorder(order).edit(routine)
        except NotFound as error:
            raise InvalidInput.of("order", error.message) from error

    def context(session: Session, stored: StoredRoutine, form: Form) -> RiskPage:
        usual = Form({"level": USUAL_LEVEL}, form.faults)
        return risk_context(session, stored, outlooks, usual, Wanted(float(USUAL_LEVEL) / 100))

    return edit.save(change, reorder(order).words, "plan", context)


def risk_context(
    session: Session,
    stored: StoredRoutine,
    outlooks: Outlooks,
    form: Form,
    asked: Wanted,
) -> RiskPage:
    """What the page shows."""
    context = routine_context(session, stored, "plan")
    shown, untold = None, ""
    if stored.routine.segments:
        outlook = outlooks.of(session, stored, context["rules"])
        shown, untold = told(RISK, lambda: _reckoned(outlook, asked))
    return RiskPage(**context, shown=shown, untold=untold, form=form)


def _reckoned(outlook: Outlook, asked: Wanted) -> Reckoned:
    routine, rules = outlook.routine, outlook.rules
    model, forecast = outlook.model, outlook.full
    advice = outlook.advice(asked.level, asked.by_s)
    names = {each.id: each.name for each in routine.segments}
    names |= {each.id: each.name for each in routine.processes}
    placed = layout(routine)
    return Reckoned(
        head=headline_of(outlook, placed, "", with_chance=True),
        told=told_of(outlook.next_run, rules, routine.id),
        forecast=forecast,
        day_share=model.told.day_share,
        incidents=model.incidents,
        figures=chances_of(forecast, rules, routine.id),
        picture=finish_picture(forecast, rules),
        shares=_shares(routine, model, forecast),
        processes=_processes(routine, model, forecast),
        advice=advice,
        by_s=asked.by_s,
        offered_s=CUTS_S,
        cuts=tuple(CutLine(each, _of_words(outlook, each)) for each in advice.cuts),
        starts=tuple(
            (names[each.id], outlook.starts(each.id))
            for each in model.parts.placed_processes
            if each.before_id is not None
        ),
        placed=placed,
        movable=tuple(each for each in routine.segments if each.movable),
        proposal=_proposal(outlook) if asked.proposing else None,
        names=names,
    )


def _level(text: str) -> tuple[Form, float]:
    typed = Typed({"level": text.strip().removesuffix("%")})
    try:
        level = typed.number("level", 1, 99.9)
        typed.check()
    except InvalidInput as error:
        return Form({"level": text}, error.faults), float(USUAL_LEVEL) / 100
    return Form({"level": write_number(level)}), level / 100


def _shares(routine: Routine, model: Model, forecast: Forecast) -> tuple[RiskShare, ...]:
    """The segments, those that add most to the risk first."""
    risks = {each.id: each for each in forecast.segments}
    found = [
        RiskShare(segment, number, risks[segment.id], model.beliefs[segment.id],
              model.estimates[segment.id])
        for number, segment in enumerate(routine.segments, 1)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda each: -each.risk.share))


def _processes(routine: Routine, model: Model, forecast: Forecast) -> tuple[ProcessRiskRow, ...]:
    risks = {each.id: each for each in forecast.processes}
    names = {each.id: each.name for each in routine.segments}
    known = {each.id: each for each in routine.processes}
    times = expected_processes(model)
    return tuple(
        ProcessRiskRow(
            known[each.id], risks.get(each.id), each, names.get(each.safe_after_id or "")
        )
        for each in times
    )


def _of_words(outlook: Outlook, cut: "Cut") -> int:
    """About how many words must go with a cut."""
    tryout = outlook.shortened(outlook.routine, cut.segment_id, cut.seconds)
    shorter = part_of(tryout.edit(outlook.routine).segments, cut.segment_id)
    return words_over(shorter, outlook.paces, outlook.routine.language)


def _proposal(outlook: Outlook) -> "OrderProposal":
    movable = [each.id for each in outlook.routine.segments if each.movable]
    return propose_order(outlook.model, outlook.rules, movable)
