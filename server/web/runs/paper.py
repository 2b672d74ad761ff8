"""A run entered by hand, for one that was timed on paper."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.durations import DAY_MS
from server.domain.base.errors import InvalidInput
from server.domain.base.text import line_faults
from server.domain.routine.plan import Layout, layout
from server.domain.runs.events import INCIDENTS, Incident
from server.domain.runs.paper import paper_events
from server.domain.runs.paper_form import Noted, read_paper
from server.store.across_runs import list_occasions
from server.store.annotating import annotate_run, exclude_run, set_occasion
from server.store.ids import new_id
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import append_events, create_run
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.frame.editing import Sent, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.runs.occasion_form import known_venues, occasion_from, offered_tags

router = APIRouter(prefix="/routines/{routine_id}/runs/by-hand")

INCIDENT_ROWS = 3


@dataclass(frozen=True, kw_only=True)
class PaperPage(RoutinePage, folder="paper"):
    """The form of a run by hand, with the tags and venues it offers."""

    layout: Layout
    form: Form
    tags: tuple[str, ...]
    venues: tuple[str, ...]
    incidents: Mapping[Incident, str]
    incident_rows: Sequence[int] = range(1, INCIDENT_ROWS + 1)


@router.get("")
def paper_page(request: Request, session: ReadSession, now_ms: NowMs, routine_id: str) -> Response:
    stored = load_routine(session, routine_id)
    form = Form({"noted": "readings", "when": f"{local_time(now_ms):%Y-%m-%dT%H:%M}"})
    return page(request, _shown(session, stored, form))


@router.post("")
def post_paper(sent: Sent, now_ms: NowMs, routine_id: str) -> Response:
    def change(session: Session) -> str:
        stored = load_routine(session, routine_id)
        return f"/runs/{_keep(session, stored, sent.typed, now_ms)}"

    def again(session: Session, form: Form) -> PaperPage:
        return _shown(session, load_routine(session, routine_id), form)

    return sent.save(change, again)


def _keep(session: Session, stored: StoredRoutine, typed: Typed, now_ms: int) -> str:
    routine = stored.routine
    started_ms = typed.take(lambda: started_ms_of(typed.text("when"), now_ms), now_ms)
    noted: Noted = "durations" if typed.text("noted") == "durations" else "readings"
    broken_off = typed.ticked("broken_off")
    for fault in line_faults(typed.text("label"), "label"):
        typed.fault(fault.field, fault.message)
    occasion = occasion_from(typed)
    events = typed.built(
        lambda: paper_events(
            routine, read_paper(routine, typed.values, noted, broken_off), started_ms, new_id
        )
    )
    rules = load_rule_sheet(session, routine.rule_sheet_id)
    run_id = create_run(session, routine, rules, now_ms, "paper")
    append_events(session, run_id, events, now_ms)
    annotate_run(session, run_id, typed.text("label"), "")
    # Who writes a run down by hand means it, however few of its marks are known.
    exclude_run(session, run_id, excluded=False)
    set_occasion(session, run_id, occasion)
    return run_id


def started_ms_of(text: str, now_ms: int) -> int:
    """The instant meant by a date-time field, in the time zone of the server."""
    try:
        started_ms = int(datetime.fromisoformat(text).timestamp() * 1000)
    except (ValueError, OverflowError):  # OverflowError: the year 1 east of Greenwich
        started_ms = -1
    if started_ms < 0:
        raise InvalidInput.of("when", "Give the day and time of the run.")
    if started_ms > now_ms + DAY_MS:
        raise InvalidInput.of("when", "That day lies in the future.")
    return started_ms


def local_time(ms: int) -> datetime:
    """An instant in the time zone of the server, for a date-time field."""
    return datetime.fromtimestamp(ms / 1000).astimezone()


def _shown(session: Session, stored: StoredRoutine, form: Form) -> PaperPage:
    occasions = list_occasions(session, stored.routine.id)
    return PaperPage(
        **routine_context(session, stored, "runs"),
        layout=layout(stored.routine),
        form=form,
        tags=offered_tags(occasions),
        venues=known_venues(occasions),
        incidents=INCIDENTS,
    )
