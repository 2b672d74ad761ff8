"""One run: its splits against the plan it was run against, its incidents and notes."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.text import line_faults, long_text_faults
from server.domain.routine.plan import PlacedSegment, layout
from server.domain.runs.compare import verdict_on
from server.domain.runs.events import INCIDENTS, LONGEST_NOTE, Event
from server.domain.runs.remark_lines import segment_of_incident
from server.domain.whole.exchange import SOURCES
from server.store.annotating import annotate_run, delete_run, set_occasion
from server.store.ids import new_id
from server.store.routines import load_routine
from server.store.run_columns import list_occasions
from server.store.runs import StoredRun, append_events, load_run
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import Context, routine_context
from server.web.frame.errors import answer
from server.web.frame.forms import Form
from server.web.frame.guard import Values, merged, opened, refused
from server.web.frame.render import page, see
from server.web.live.routes import HeldBus, tell_followers
from server.web.runs.occasion_form import known_venues, occasion_from, occasion_values, offered_tags
from server.web.runs.recordings import heard_of
from server.web.runs.remarks import give_points, points_form, remarks_context

router = APIRouter(prefix="/runs/{run_id}")


@dataclass(frozen=True)
class SplitLine:
    """A segment of the run beside its plan; times in ms, None where not marked."""

    placed: PlacedSegment
    end_ms: int | None
    split_ms: int | None

    @property
    def longer_s(self) -> float | None:
        """How much longer it took than planned."""
        if self.split_ms is None:
            return None
        return self.split_ms / 1000 - self.placed.segment.duration.likely_s

    @property
    def behind_s(self) -> float | None:
        """How far behind the plan the run was at its end."""
        return None if self.end_ms is None else self.end_ms / 1000 - self.placed.end_s


@router.get("")
def run_page(request: Request, session: ReadSession, run_id: str, taken: str = "") -> Response:
    run = load_run(session, run_id)
    if run.deleted:
        return answer(request, 410, "gone", "This run was deleted.")
    return page(request, "review", _context(request, session, run, taken=taken))


@router.post("")
def post_remarks(request: Request, held: HeldDatabase, run_id: str, typed: TypedForm) -> Response:
    now: Values = {}
    try:
        with held.writing() as session:
            run = load_run(session, run_id)
            now = _form(run, offered_tags(list_occasions(session, run.routine_id))).values
            typed = merged(typed, now)
            label, notes = typed.text("label"), typed.text("notes")
            for fault in (*line_faults(label, "label"), *long_text_faults(notes, "notes")):
                typed.fault(fault.field, fault.message)
            occasion = occasion_from(typed)
            typed.check()
            annotate_run(session, run_id, label, notes)
            set_occasion(session, run_id, occasion)
    except InvalidInput as error:
        form = refused(typed, error, now)
        with held.reading() as session:
            context = _context(request, session, load_run(session, run_id), form=form)
        return page(request, "review", context, 422)
    return see(f"/runs/{run_id}")


@router.post("/points")
def post_points(
    request: Request,
    held: HeldDatabase,
    bus: HeldBus,
    now_ms: NowMs,
    run_id: str,
    typed: TypedForm,
) -> Response:
    now: Values = {}
    try:
        with held.writing() as session:
            run = load_run(session, run_id)
            now = points_form(run).values
            give_points(session, bus, run, typed, now_ms)
    except InvalidInput as error:
        points = refused(typed, error, now)
        with held.reading() as session:
            context = _context(request, session, load_run(session, run_id), points=points)
        return page(request, "review", context, 422)
    return see(f"/runs/{run_id}#points-title")


@router.post("/incidents/{incident_id}")
def post_incident_note(
    session: WriteSession,
    bus: HeldBus,
    now_ms: NowMs,
    run_id: str,
    incident_id: str,
    typed: TypedForm,
) -> Response:
    text = typed.text("text")
    if len(text) > LONGEST_NOTE:
        raise InvalidInput.of("text", f"Keep the note to {LONGEST_NOTE:,} characters.")
    run = load_run(session, run_id)
    if all(incident.id != incident_id for incident in run.state.incidents):
        raise NotFound("There is no such incident in this run.")
    appended = append_events(session, run_id, [_note(run, incident_id, text, now_ms)], now_ms)
    tell_followers(session, bus, run_id, appended)
    return see(f"/runs/{run_id}")


@router.post("/delete")
def post_delete(session: WriteSession, now_ms: NowMs, run_id: str) -> Response:
    routine_id = delete_run(session, run_id, now_ms)
    return see(f"/routines/{routine_id}/runs?deleted={run_id}")


def _note(run: StoredRun, incident_id: str, text: str, now_ms: int) -> Event:
    last_seq = max((event.seq for event in run.record.events), default=0)
    return Event(
        id=new_id(),
        device_id="desk",
        boot_id="desk",
        seq=last_seq + 1,
        kind="note",
        wall_ms=now_ms,
        mono_ms=0.0,
        target_id=incident_id,
        text=text,
    )


def _incident_segments(run: StoredRun) -> dict[str, str]:
    """Incident -> the name of its segment, empty where that cannot be told."""
    names = {part.id: part.name for part in run.plan.routine.segments}
    return {
        each.id: names.get(segment_of_incident(each, run.state, list(names)) or "", "")
        for each in run.state.incidents
    }


def _form(run: StoredRun, tags: tuple[str, ...]) -> Form:
    record = run.record
    said = occasion_values(record.occasion, tags)
    return opened({"label": record.label, "notes": record.notes, **said})


def _context(
    request: Request,
    session: Session,
    run: StoredRun,
    *,
    form: Form | None = None,
    points: Form | None = None,
    taken: str = "",
) -> Context:
    """What the page shows; the forms hold what was typed and refused, `taken` what was deleted."""
    stored = load_routine(session, run.routine_id)
    occasions = list_occasions(session, run.routine_id)
    tags = offered_tags(occasions)
    placed = layout(run.plan.routine)
    times = zip(placed.segments, run.state.ends_ms, run.state.splits_ms, strict=True)
    total_ms = run.state.total_ms
    return {
        **routine_context(session, stored, "runs"),
        "run": run,
        "run_rules": run.plan.rules,
        "verdict": None if total_ms is None else verdict_on(total_ms / 1000, run.plan.rules),
        "lines": [SplitLine(*each) for each in times],
        "layout": placed,
        "processes": list(zip(placed.processes, run.state.processes, strict=True)),
        "incident_segments": _incident_segments(run),
        "incident_names": INCIDENTS,
        "sources": SOURCES,
        "form": form or _form(run, tags),
        "tags": tags,
        "venues": known_venues(occasions),
        "heard": heard_of(session, run, request.app.state.settings),
        "edit": request.query_params.get("edit", ""),
        **remarks_context(run, points or points_form(run), taken),
    }
