"""The claims ledger: what is to be settled first, with its cures; what holds, folded."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.belief.words_pace import learn_paces
from server.domain.claims.ledger import Unnamed
from server.domain.claims.rows import LedgerRow
from server.domain.routine.own_words import Verdict
from server.domain.routine.routine import Routine
from server.store.paces import spoken_in_runs
from server.store.routines import StoredRoutine, load_routine
from server.web.drinks.checked import checked
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.forms import Form
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.script.check import UNCHECKED
from server.web.script.claims_filters import ASKED, NO_DRINK, NOTES, Filters, tally_of
from server.web.script.claims_view import (
    ClaimGroup,
    LedgerLine,
    groups_of,
    headline,
    kinds_in,
    lines_of,
    tallies,
)
from server.web.script.corrections import (
    VERDICTS,
    CorrectionLine,
    SentenceChoice,
    correction_lines,
    sentence_choices,
)
from server.web.script.of_drink import OF_DRINK, DrinkChoice, choices_form, drink_choices
from server.web.script.on_stage import OnStage, last_on_stage
from server.web.script.opened import OpenedClaim, open_claim
from server.web.script.tolerances import TOLERANCE, tolerance_form
from server.web.tasters.told import tasted_words

router = APIRouter(prefix="/routines/{routine_id}")

MISSED, CORRECTIONS = "missed", "corrections"
"""What opens beside the list besides a claim: the form for one that was missed, and the list of
what was corrected."""

FORMS = (MISSED, CORRECTIONS, TOLERANCE, OF_DRINK)


@dataclass(frozen=True, kw_only=True)
class ClaimsPage(RoutinePage, folder="claims"):
    """The ledger; `opened` is the claim beside the list, `beside` what else may stand there."""

    headline: str
    note: str
    untold: tuple[str, ...]
    filters: Filters
    tallies: list[tuple[str, str, int]]
    drink_names: Mapping[str, str]
    kinds: Mapping[str, str]
    notes: Mapping[str, str]
    open_lines: list[LedgerLine]
    undeclared: tuple[Unnamed, ...]
    can_list: int
    groups: list[ClaimGroup]
    unchecked: ClaimGroup
    perhaps: ClaimGroup
    on_stage: OnStage | None
    opened: OpenedClaim | None
    beside: str
    of_drink: tuple[DrinkChoice, ...]
    drink_options: list[tuple[str, str]]
    verdicts: Mapping[Verdict, str]
    corrections: list[CorrectionLine]
    sentences: list[tuple[str, list[SentenceChoice]]]
    form: Form
    tasted: Mapping[str, str]
    """Key of a row -> how often tasters found its word."""


@router.get("/claims")
def claims_page(
    request: Request, session: ReadSession, routine_id: str,
    show: str = "", drink: str = "", kind: str = "", note: str = "", open: str = "",
) -> Response:  # fmt: skip
    stored = load_routine(session, routine_id)
    filters = Filters(show, drink, kind, note)
    return page(request, ledger_page(session, stored, Form(), open, filters))


def ledger_page(
    session: Session,
    stored: StoredRoutine,
    form: Form,
    beside: str = "",
    filters: Filters = Filters(),  # noqa: B008
) -> ClaimsPage:
    """What the claims page shows; `beside` names what is open beside the list."""
    context = routine_context(session, stored, "claims")
    routine = stored.routine
    found = checked(routine, context["rules"])
    lines = lines_of(found, routine, filters)
    by_tally = {
        key: [line for line in lines if tally_of(line.row) == key]
        for key in ("settle", "hold", UNCHECKED, ASKED)
    }
    opened = None
    if beside == TOLERANCE and not form.values:
        form = tolerance_form(routine)
    of_drink = drink_choices(routine, found.ledger.rows)
    if beside == OF_DRINK and not form.values:
        form = choices_form(of_drink)
    if beside not in ("", *FORMS):
        paces = learn_paces(spoken_in_runs(session, routine))
        opened = open_claim(found, routine, beside, paces)
    shows_all = not filters.narrows
    return ClaimsPage(
        **context,
        headline=headline(found),
        note=found.ledger.note,
        untold=found.untold,
        filters=filters,
        tallies=tallies(found),
        drink_names={drink.id: drink.name for drink in routine.drinks} | {NO_DRINK: "No drink"},
        kinds=kinds_in(found),
        notes=NOTES,
        open_lines=by_tally["settle"],
        undeclared=found.undeclared if shows_all or filters == Filters(show="settle") else (),
        can_list=sum(
            line.can_be_listed and line.row.state == "unplanned" for line in by_tally["settle"]
        ),
        groups=groups_of(by_tally["hold"], routine),
        unchecked=ClaimGroup(UNCHECKED, "Can’t check", tuple(by_tally[UNCHECKED])),
        perhaps=ClaimGroup(ASKED, "Perhaps a claim", tuple(by_tally[ASKED])),
        on_stage=last_on_stage(session, routine) if shows_all else None,
        opened=opened,
        beside=beside if beside in FORMS else "",
        of_drink=of_drink,
        drink_options=[(drink.id, drink.name) for drink in routine.drinks],
        verdicts=VERDICTS,
        corrections=correction_lines(routine, found.case.passages),
        sentences=list(sentence_choices(routine)),
        form=form,
        tasted=_tasted(session, routine, found.ledger.rows),
    )


def _tasted(session: Session, routine: Routine, rows: Sequence[LedgerRow]) -> dict[str, str]:
    known = tasted_words(session, routine)
    held = ((row.key, known.get((row.drink_id or "", row.word.casefold()))) for row in rows)
    return {key: each.words for key, each in held if each is not None}
