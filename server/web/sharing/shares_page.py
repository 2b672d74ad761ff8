"""What the page of a routine's people shows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from server.domain.base.standings import MEANINGS, STANDINGS, Standing
from server.domain.people.person import Person
from server.store.people.persons import find_person
from server.store.routines import load_routine
from server.store.sharing.shares import Sharer, grants_on, has_owner, sharers_of
from server.store.sharing.teams import Team, team_of, teams_of
from server.web.frame.editing import routine_context
from server.web.frame.forms import Form
from server.web.frame.guard import Values, opened
from server.web.frame.shown import RoutinePage


@dataclass(frozen=True)
class SharesAsked:
    """What the address asks for beside the routine: which form is open, who was just taken away."""

    edit: str = ""
    to: str = ""
    taken: str = ""
    stood: str = ""
    heard: str = ""


@dataclass(frozen=True)
class TakenAway:
    """One who was just taken away, and how they stood."""

    person_id: str
    name: str
    standing: Standing
    hears: bool


@dataclass(frozen=True, kw_only=True)
class SharesPage(RoutinePage, folder="shares"):
    """Who may do what with a routine."""

    sharers: Sequence[Sharer]
    all_listed: bool
    """Whether these are all it is shared with: who may read little is told of few."""
    own_id: str
    may_leave: bool
    is_only_owner: bool
    """Whether nobody else owns it: then they can neither leave nor become less."""
    team: Team | None
    members_are: Standing
    teams: Sequence[Team]
    """Those of one's own that may be given the routine."""
    standings: Mapping[Standing, str]
    meanings: Mapping[Standing, str]
    edit: str
    adding: Form
    changing: Form
    heir: Sharer | None
    """Whom the routine is about to be handed on to."""
    taken: TakenAway | None
    link: str
    """The link of an invitation that was just made: it is shown once."""


NEW_SHARE = Form({"standing": "coach"})


def shares_page_of(
    session: Session,
    routine_id: str,
    person: Person,
    asked: SharesAsked,
    adding: Form = NEW_SHARE,
    changing: Form | None = None,
    link: str = "",
) -> SharesPage:
    """The page as a person sees it: who may read little sees the owners and their own line."""
    held = grants_on(session, person.id, routine_id)
    every = sharers_of(session, routine_id)
    seen = every if "study" in held else [x for x in every if _is_own(x, person)]
    owned = team_of(session, routine_id)
    own = next((each for each in every if each.person_id == person.id), None)
    return SharesPage(
        **routine_context(session, load_routine(session, routine_id), "people"),
        sharers=seen,
        all_listed="study" in held,
        own_id=person.id,
        may_leave=own is not None,
        is_only_owner=own is not None
        and own.standing == "owner"
        and not has_owner(session, routine_id, but=person.id),
        team=owned[0] if owned else None,
        members_are=owned[1] if owned else "copresenter",
        teams=teams_of(session, person.id),
        standings=STANDINGS,
        meanings=MEANINGS,
        edit=asked.edit,
        adding=adding,
        changing=changing or _changing(every, asked),
        heir=next((each for each in every if each.person_id == asked.to), None),
        taken=_taken(session, every, asked) if "own" in held else None,
        link=link,
    )


def share_values(standing: Standing, *, hears: bool) -> Values:
    """The texts with which the form of a share starts."""
    return {"standing": standing, "hears": "yes" if hears else ""}


def _changing(every: Sequence[Sharer], asked: SharesAsked) -> Form:
    chosen = next((each for each in every if each.person_id == asked.edit), None)
    return opened(share_values(chosen.standing, hears=chosen.hears)) if chosen else NEW_SHARE


def _is_own(sharer: Sharer, person: Person) -> bool:
    return sharer.standing == "owner" or sharer.person_id == person.id


def _taken(session: Session, every: Sequence[Sharer], asked: SharesAsked) -> TakenAway | None:
    standing = next((each for each in STANDINGS if each == asked.stood), None)
    person = find_person(session, asked.taken) if asked.taken else None
    if person is None or standing is None or any(x.person_id == person.id for x in every):
        return None
    return TakenAway(person.id, person.name, standing, bool(asked.heard))
