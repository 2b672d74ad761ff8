"""Cue cards: to print, four to a page, and to look at on the phone."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.number_words import count
from server.domain.claims.due import due_claims
from server.domain.learn.cards import CueCard, cue_cards
from server.store.routines import load_routine
from server.web.drinks.checked import checked
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.frame.tape import drink_classes

router = APIRouter(prefix="/routines/{routine_id}/learn")


@dataclass(frozen=True, kw_only=True)
class CardsPage(RoutinePage, folder="cards"):
    """The cards; `kinds` tells how the drink of each segment is drawn."""

    headline: str
    cards: tuple[CueCard, ...]
    kinds: dict[str, str]


@router.get("/cards")
def cards_page(request: Request, session: ReadSession, routine_id: str) -> Response:
    stored = load_routine(session, routine_id)
    context = routine_context(session, stored, "script")
    found = checked(stored.routine, context["rules"])
    cards = cue_cards(stored.routine, due_claims(stored.routine, found.ledger))
    shown = CardsPage(
        **context,
        headline=count(len(cards), "cue card") if cards else "No cue cards yet",
        cards=cards,
        kinds=drink_classes(stored.routine),
    )
    return page(request, shown)
