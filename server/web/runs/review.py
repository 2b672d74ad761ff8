"""One run: looked at, named and noted, its remarks and points; deleted and brought back."""

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.text import line_faults, long_text_faults
from server.domain.runs.events import LONGEST_NOTE, Event
from server.store.across_runs import list_occasions
from server.store.annotating import annotate_run, delete_run, set_occasion
from server.store.ids import new_id
from server.store.runs import StoredRun, append_events, load_live_run, load_run
from server.web.frame.dependencies import (
    HeldSettings,
    NowMs,
    ReadSession,
    TypedForm,
    WriteSession,
    made_of,
)
from server.web.frame.door import HeldAsker
from server.web.frame.editing import Sent
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.live.followers import HeldBus, tell_followers
from server.web.runs.occasion_form import occasion_from, offered_tags
from server.web.runs.remarks import HeldSeat, give_points, points_form
from server.web.runs.review_page import AskedOfRun, about_form, review_page_of

router = APIRouter(prefix="/runs/{run_id}")


@router.get("")
def run_page(
    request: Request,
    session: ReadSession,
    settings: HeldSettings,
    asker: HeldAsker,
    seat: HeldSeat,
    run_id: str,
    asked: Annotated[AskedOfRun, Depends(made_of(AskedOfRun))],
) -> Response:
    run = load_live_run(session, run_id)
    shown = review_page_of(session, run, settings, seat, asked)
    # What was recorded is for the owner to hear, and to read.
    shown = shown if asker.may("hear") else replace(shown, heard=[], take_id="")
    return page(request, shown)


@router.post("")
def post_remarks(sent: Sent, settings: HeldSettings, seat: HeldSeat, run_id: str) -> Response:
    def change(session: Session) -> str:
        run = load_run(session, run_id)
        tags = offered_tags(list_occasions(session, run.routine_id))
        typed = sent.merged(about_form(run, tags).values)
        label, notes = typed.text("label"), typed.text("notes")
        for fault in (*line_faults(label, "label"), *long_text_faults(notes, "notes")):
            typed.fault(fault.field, fault.message)
        occasion = occasion_from(typed)
        typed.check()
        annotate_run(session, run_id, label, notes)
        set_occasion(session, run_id, occasion)
        return f"/runs/{run_id}"

    def again(session: Session, form: Form) -> Page:
        run, asked = load_run(session, run_id), AskedOfRun(edit="about")
        return review_page_of(session, run, settings, seat, asked, form)

    return sent.save(change, again)


@router.post("/points")
def post_points(
    sent: Sent,
    settings: HeldSettings,
    seat: HeldSeat,
    bus: HeldBus,
    now_ms: NowMs,
    run_id: str,
) -> Response:
    def change(session: Session) -> str:
        run = load_run(session, run_id)
        typed = sent.merged(points_form(run, seat).values)
        give_points(session, bus, run, seat, typed, now_ms)
        return f"/runs/{run_id}?open=points#points-given"

    def again(session: Session, form: Form) -> Page:
        run, asked = load_run(session, run_id), AskedOfRun(open="points")
        return review_page_of(session, run, settings, seat, asked, points=form)

    return sent.save(change, again)


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
