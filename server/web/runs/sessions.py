"""Runs by session, which is a day at a venue: grouped in the list, and labelled all at once."""

from fastapi import APIRouter, Response
from sqlmodel import Session as Database

from server.domain.base.errors import NotFound
from server.domain.drift.sessions import Session
from server.domain.runs.labels import MOST_TAGS, Occasion
from server.store.annotating import set_occasion
from server.store.routines import load_routine
from server.store.runs import list_runs
from server.web.frame.editing import Sent
from server.web.frame.forms import Form, Typed
from server.web.frame.render import see
from server.web.frame.shown import Page
from server.web.plan.outlook import HeldOutlooks
from server.web.runs.grouping import keyed_sessions, session_values
from server.web.runs.listing import AskedOfRuns, runs_page_of
from server.web.runs.occasion_form import occasion_from
from server.web.runs.place import runs_url

router = APIRouter(prefix="/routines/{routine_id}")


@router.get("/drift/sessions")
def sessions_page(routine_id: str) -> Response:
    """Sessions had a page of their own once; links to it lead on."""
    return see(runs_url(routine_id, "sessions"))


@router.post("/runs/sessions/{key}")
def post_labels(sent: Sent, outlooks: HeldOutlooks, routine_id: str, key: str) -> Response:
    """Put a venue and tags on every run of a session; what a run has already stays with it."""

    def change(session: Database) -> str:
        found = _session(session, routine_id, key)
        number = _label(session, found, sent.merged(session_values(found.venue)))
        return runs_url(routine_id, "sessions", labelled=str(number))

    def again(session: Database, form: Form) -> Page:
        asked = AskedOfRuns(show="sessions", edit=f"session-{key}")
        return runs_page_of(session, load_routine(session, routine_id), outlooks, asked, form)

    return sent.save(change, again)


def _session(session: Database, routine_id: str, key: str) -> Session:
    """The session with that key. Raises NotFound."""
    load_routine(session, routine_id)
    found = keyed_sessions(list_runs(session, routine_id)).get(key)
    if found is None:
        raise NotFound("There is no such session. Its runs may have been labelled meanwhile.")
    return found


def _label(session: Database, found: Session, typed: Typed) -> int:
    """Label the runs of a session; returns how many. Raises InvalidInput."""
    said = occasion_from(typed)
    joined = {line.id: _joined(line.occasion, said) for line in found.runs}
    if any(len(each.tags) > MOST_TAGS for each in joined.values()):
        typed.fault("more_tags", f"A run of this session would carry more than {MOST_TAGS} tags.")
    typed.check()
    for run_id, occasion in joined.items():
        set_occasion(session, run_id, occasion)
    return len(joined)


def _joined(before: Occasion, said: Occasion) -> Occasion:
    tags = tuple(dict.fromkeys((*before.tags, *said.tags)))
    return Occasion(said.venue or before.venue, tags)
