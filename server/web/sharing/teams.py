"""Teams: the list of one's own, and the page of one."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.people.person import Person
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.store.people.persons import find_person
from server.store.routines import list_routines
from server.store.rule_sheets import list_rule_sheets
from server.store.sharing.sheets import hold_sheet, sheets_of_person, sheets_of_team
from server.store.sharing.teams import (
    Team,
    dissolve_team,
    has_leader,
    load_team,
    make_team,
    put_member,
    rename_team,
    routines_of_team,
    take_member,
    teams_of,
)
from server.web.frame.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import Sent
from server.web.frame.forms import Form
from server.web.frame.guard import opened
from server.web.frame.offered.scope import HeldSignedIn
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.live.bus import LiveBus
from server.web.live.followers import HeldBus
from server.web.sharing.shares import person_found, shut_out

BY_SHARING = "Who has no account is invited by an admin, or from the people of a routine."

router = APIRouter(prefix="/teams")


@dataclass(frozen=True, kw_only=True)
class TeamsPage(Page, folder="teams"):
    """The teams one is in."""

    teams: Sequence[Team]
    own_id: str
    dissolved: str
    form: Form


@dataclass(frozen=True, kw_only=True)
class TeamPage(Page, folder="team"):
    """A team: its members, and what it owns."""

    team: Team
    own_id: str
    leads: bool
    is_only_leader: bool
    """Whether nobody else leads it: then they cannot leave."""
    owned: Sequence[Routine]
    sheets: Sequence[RuleSheet]
    own_sheets: Sequence[RuleSheet]
    """Those one may give to it."""
    edit: str
    naming: Form
    adding: Form
    out: Person | None
    """The member who was just taken out, and can come back."""


@router.get("")
def teams_page(
    request: Request, session: ReadSession, person: HeldSignedIn, dissolved: str = ""
) -> Response:
    return page(request, _teams_page(session, person, Form(), dissolved))


@router.post("")
def post_team(sent: Sent, person: HeldSignedIn, now_ms: NowMs) -> Response:
    def change(session: Session) -> str:
        return f"/teams/{make_team(session, sent.typed.text('name'), person.id, now_ms)}"

    return sent.save(change, lambda session, form: _teams_page(session, person, form))


@router.get("/{team_id}")
def team_page(
    request: Request,
    session: ReadSession,
    person: HeldSignedIn,
    team_id: str,
    edit: str = "",
    out: str = "",
) -> Response:
    return page(request, _team_page(session, person, team_id, edit, out))


@router.post("/{team_id}")
def post_name(sent: Sent, person: HeldSignedIn, team_id: str) -> Response:
    def change(session: Session) -> str:
        typed = sent.merged({"name": load_team(session, team_id).name})
        rename_team(session, team_id, typed.text("name"))
        return f"/teams/{team_id}"

    def again(session: Session, form: Form) -> TeamPage:
        return _team_page(session, person, team_id, "name", naming=form)

    return sent.save(change, again)


@router.post("/{team_id}/members")
def post_member(sent: Sent, person: HeldSignedIn, team_id: str) -> Response:
    """Somebody who has an account, by the name they sign in by."""

    def change(session: Session) -> str:
        found = person_found(session, sent.typed, BY_SHARING)
        if load_team(session, team_id).has(found.id):
            raise InvalidInput.of("sign_in", "They are in the team already.")
        put_member(session, team_id, found.id, leads=False)
        return f"/teams/{team_id}"

    def again(session: Session, form: Form) -> TeamPage:
        return _team_page(session, person, team_id, adding=form)

    return sent.save(change, again)


@router.post("/{team_id}/members/{person_id}")
def post_leads(session: WriteSession, team_id: str, person_id: str, typed: TypedForm) -> Response:
    """Have a member lead, or lead no longer; also the way back of one just taken out."""
    if find_person(session, person_id) is None:
        raise InvalidInput.of("person", "Choose somebody who has an account.")
    put_member(session, team_id, person_id, leads=typed.ticked("leads"))
    return see(f"/teams/{team_id}")


@router.post("/{team_id}/members/{person_id}/take")
def post_take(
    session: WriteSession, bus: HeldBus, now_ms: NowMs, team_id: str, person_id: str
) -> Response:
    _take_out(session, bus, team_id, person_id, now_ms)
    return see(f"/teams/{team_id}?out={person_id}")


@router.post("/{team_id}/leave")
def post_leave(
    session: WriteSession, bus: HeldBus, person: HeldSignedIn, now_ms: NowMs, team_id: str
) -> Response:
    _take_out(session, bus, team_id, person.id, now_ms)
    return see("/teams")


@router.post("/{team_id}/sheets")
def post_sheet(
    session: WriteSession, person: HeldSignedIn, team_id: str, typed: TypedForm
) -> Response:
    """Give a rule sheet of one's own to the team: all in it may change it."""
    sheet_id = typed.text("sheet")
    if sheet_id not in sheets_of_person(session, person.id):
        raise InvalidInput.of("sheet", "Choose a rule sheet of your own.")
    hold_sheet(session, sheet_id, team_id=team_id)
    return see(f"/teams/{team_id}")


@router.post("/{team_id}/dissolve")
def post_dissolve(
    session: WriteSession, bus: HeldBus, person: HeldSignedIn, now_ms: NowMs, team_id: str
) -> Response:
    """End the team: what it owned is from now on of who says so."""
    team, routines = load_team(session, team_id), routines_of_team(session, team_id)
    dissolve_team(session, team_id, person.id, now_ms)
    for routine_id in routines:
        for member in team.members:
            shut_out(session, bus, routine_id, member.person_id, now_ms)
    return see("/teams?dissolved=yes")


def _take_out(session: Session, bus: LiveBus, team_id: str, person_id: str, now_ms: int) -> None:
    take_member(session, team_id, person_id)
    for routine_id in routines_of_team(session, team_id):
        shut_out(session, bus, routine_id, person_id, now_ms)


def _teams_page(session: Session, person: Person, form: Form, dissolved: str = "") -> TeamsPage:
    return TeamsPage(
        teams=teams_of(session, person.id), own_id=person.id, dissolved=dissolved, form=form
    )


def _team_page(
    session: Session,
    person: Person,
    team_id: str,
    edit: str = "",
    out: str = "",
    *,
    naming: Form | None = None,
    adding: Form | None = None,
) -> TeamPage:
    team = load_team(session, team_id)
    gone = find_person(session, out) if out and not team.has(out) else None
    held = sheets_of_team(session, team_id)
    return TeamPage(
        team=team,
        own_id=person.id,
        leads=team.is_led_by(person.id),
        is_only_leader=team.is_led_by(person.id)
        and not has_leader(session, team_id, but=person.id),
        owned=list_routines(session, within=routines_of_team(session, team_id)),
        sheets=_sheets(session, held),
        own_sheets=_sheets(session, sheets_of_person(session, person.id)),
        edit=edit,
        naming=naming or opened({"name": team.name}),
        adding=adding or Form(),
        out=gone if team.is_led_by(person.id) else None,
    )


def _sheets(session: Session, ids: Collection[str]) -> list[RuleSheet]:
    return [each for each in list_rule_sheets(session) if each.id in ids]
