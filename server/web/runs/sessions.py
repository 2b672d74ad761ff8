"""Runs by session, which is a day at a venue: grouped in the list, and labelled all at once."""

from fastapi import APIRouter, Request, Response
from sqlmodel import Session as Database

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.drift.sessions import Session
from server.domain.runs.labels import MOST_TAGS, Occasion
from server.store.annotating import set_occasion
from server.store.routines import load_routine
from server.store.runs import list_runs
from server.web.frame.dependencies import HeldDatabase, TypedForm
from server.web.frame.forms import Typed
from server.web.frame.guard import Values, merged, refused
from server.web.frame.render import page, see
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
def post_labels(
    request: Request,
    held: HeldDatabase,
    outlooks: HeldOutlooks,
    routine_id: str,
    key: str,
    typed: TypedForm,
) -> Response:
    """Put a venue and tags on every run of a session; what a run has already stays with it."""
    now: Values = {}
    try:
        with held.writing() as session:
            found = _session(session, routine_id, key)
            now = session_values(found.venue)
            number = _label(session, found, merged(typed, now))
    except InvalidInput as error:
        form = refused(typed, error, now)
        asked = AskedOfRuns(show="sessions", edit=f"session-{key}")
        with held.reading() as session:
            stored = load_routine(session, routine_id)
            shown = runs_page_of(session, stored, outlooks, asked, form)
        return page(request, "runs", shown, 422)
    return see(runs_url(routine_id, "sessions", labelled=str(number)))


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
