"""Whose things a list shows: those of who is signed in; all where nobody has an account."""

from typing import Annotated

from fastapi import Depends
from sqlmodel import Session

from server.domain.base.errors import NotFound
from server.domain.base.standings import EVERYTHING, RoutineAsk, allows
from server.domain.people.person import Person
from server.store.sharing.shares import all_grants, give_share, routines_for
from server.store.sharing.sheets import (
    hold_sheet,
    sheets_of_the_app,
    sheets_to_change,
    sheets_to_read,
)
from server.web.frame.door import HeldPerson

OFF = "People have no accounts here. NINEFIFTY_PEOPLE=yes switches them on."


class Scope:
    """What of all that is kept is somebody's."""

    def __init__(self, person: Person | None) -> None:
        self.person = person

    @property
    def sees_the_house(self) -> bool:
        """Whether what concerns the app as a whole is told."""
        return self.person is None or self.person.is_admin

    def routines(self, session: Session, ask: RoutineAsk = "show") -> frozenset[str] | None:
        """The ids of the routines of which what asks that may be had; None for all there are."""
        return None if self.person is None else routines_for(session, self.person.id, ask)

    def grants(self, session: Session) -> "Granted":
        """What may be had of each routine, for a list that shows many."""
        return Granted(None if self.person is None else all_grants(session, self.person.id))

    def sheets(self, session: Session) -> frozenset[str] | None:
        """The ids of the rule sheets that may be read; None for all there are."""
        if self.person is None:
            return None
        return sheets_to_read(session, self.person.id, self.routines(session) or ())

    def own_sheets(self, session: Session) -> frozenset[str] | None:
        """The ids of the rule sheets that may be changed by whose they are; None for all."""
        if self.person is None:
            return None
        of_the_app = sheets_of_the_app(session) if self.person.is_admin else frozenset()
        return sheets_to_change(session, self.person.id) | of_the_app

    def own(self, session: Session, routine_id: str, now_ms: int) -> None:
        """Make a routine that was just made the person's."""
        if self.person is not None:
            give_share(session, routine_id, self.person.id, "owner", now_ms)

    def own_sheet(self, session: Session, sheet_id: str) -> None:
        """Make a rule sheet that was just made the person's."""
        if self.person is not None:
            hold_sheet(session, sheet_id, person_id=self.person.id)


class Granted:
    """What may be had of each routine of a list."""

    def __init__(self, held: dict[str, frozenset[RoutineAsk]] | None) -> None:
        self._held = held

    def of(self, routine_id: str) -> frozenset[RoutineAsk]:
        """What may be had of one."""
        return EVERYTHING if self._held is None else self._held.get(routine_id, frozenset())

    def routines(self, ask: RoutineAsk) -> frozenset[str] | None:
        """The ids of those of which what asks that may be had; None for all there are."""
        if self._held is None:
            return None
        return frozenset(key for key, held in self._held.items() if allows(ask, held))


async def _scope(person: HeldPerson) -> Scope:
    return Scope(person)


async def _signed_in(person: HeldPerson) -> Person:
    if person is None:
        raise NotFound(OFF)
    return person


HeldScope = Annotated[Scope, Depends(_scope)]
HeldSignedIn = Annotated[Person, Depends(_signed_in)]
"""Who is signed in, for what is there only where people have accounts. Raises NotFound."""
