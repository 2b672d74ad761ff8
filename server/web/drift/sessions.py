"""The runs of a routine by day and venue, and labels for all runs of a session at once."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session as Database

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.drift.sessions import Session, sessions
from server.domain.runs.labels import MOST_TAGS, Occasion
from server.domain.runs.summary import RunLine
from server.store.annotating import set_occasion
from server.store.routines import StoredRoutine, load_routine
from server.store.runs import list_runs
from server.web.frame.dependencies import HeldDatabase, ReadSession, TypedForm
from server.web.frame.editing import Context, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import Values, merged, opened, refused
from server.web.frame.local_zone import LOCAL
from server.web.frame.render import page, see
from server.web.runs.occasion_form import known_venues, occasion_from, offered_tags

router = APIRouter(prefix="/routines/{routine_id}/drift/sessions")


LISTED = 60
"""Sessions listed unless all are asked for."""


@dataclass(frozen=True)
class SessionCard:
    """A session with the key that names it in addresses: the id of its first run."""

    key: str
    session: Session


@router.get("")
def sessions_page(
    request: Request,
    session: ReadSession,
    routine_id: str,
    edit: str = "",
    labelled: int = 0,
    show: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    context = _context(session, stored, edit, None) | {"labelled": labelled}
    if show != "all":
        context["cards"] = context["cards"][:LISTED]
    return page(request, "sessions", context)


@router.post("/{key}")
def post_labels(
    request: Request, held: HeldDatabase, routine_id: str, key: str, typed: TypedForm
) -> Response:
    """Put a venue and tags on every run of a session; what a run has already stays with it."""
    now: Values = {}
    try:
        with held.writing() as session:
            card = _card(session, routine_id, key)
            now = _values(card)
            number = _label(session, card.session.runs, merged(typed, now))
    except InvalidInput as error:
        form = refused(typed, error, now)
        with held.reading() as session:
            stored = load_routine(session, routine_id)
            context = _context(session, stored, f"session-{key}", form) | {"labelled": 0}
        return page(request, "sessions", context, 422)
    return see(f"/routines/{routine_id}/drift/sessions?labelled={number}")


def _card(session: Database, routine_id: str, key: str) -> SessionCard:
    """The session of that key. Raises NotFound."""
    load_routine(session, routine_id)
    for card in _cards(list_runs(session, routine_id)):
        if card.key == key:
            return card
    raise NotFound("There is no such session. Its runs may have been labelled meanwhile.")


def _values(card: SessionCard) -> Values:
    """The texts with which the form of a session starts; tags are only added."""
    return {"venue": card.session.venue}


def _label(session: Database, runs: Sequence[RunLine], typed: Typed) -> int:
    """Label the runs of a session; returns how many. Raises InvalidInput."""
    said = occasion_from(typed)
    joined = {line.id: _joined(line.occasion, said) for line in runs}
    if any(len(each.tags) > MOST_TAGS for each in joined.values()):
        typed.fault("more_tags", f"A run of this session would carry more than {MOST_TAGS} tags.")
    typed.check()
    for run_id, occasion in joined.items():
        set_occasion(session, run_id, occasion)
    return len(joined)


def _joined(before: Occasion, said: Occasion) -> Occasion:
    tags = tuple(dict.fromkeys((*before.tags, *said.tags)))
    return Occasion(said.venue or before.venue, tags)


def _cards(lines: list[RunLine]) -> list[SessionCard]:
    return [SessionCard(each.runs[0].id, each) for each in sessions(lines, LOCAL)]


def _context(session: Database, stored: StoredRoutine, edit: str, form: Form | None) -> Context:
    lines = list_runs(session, stored.routine.id)
    cards = _cards(lines)
    occasions = [line.occasion for line in lines]
    starts = {card.key: _values(card) for card in cards}
    key = edit.removeprefix("session-")
    return {
        **routine_context(session, stored, "runs"),
        "cards": cards,
        "number": len(cards),
        "editing": key if key in starts else "",
        "form": form or opened(starts.get(key, {})),
        "tags": offered_tags(occasions),
        "venues": known_venues(occasions),
    }
