"""What every end of a sign-in comes to: nothing knows of it any longer, and nothing stays open."""

from typing import Annotated

from fastapi import Depends
from sqlmodel import Session

from server.store.database import after_commit
from server.store.sharing.passes import key_of_person
from server.web.frame.door import HeldDoor
from server.web.live.followers import HeldBus


class WayOut:
    """A person whose sign-ins, or some of them, have just ended."""

    def __init__(self, door: HeldDoor, bus: HeldBus) -> None:
        self._door = door
        self._bus = bus

    def leave(self, session: Session, person_id: str) -> None:
        """Once that is durable ask about everybody anew, and close what the person follows.

        Where they are signed in still, their page comes back by itself.
        """
        after_commit(session, self._door.forget)
        self._bus.end_passes_with(session, key_of_person(person_id))


Leaves = Annotated[WayOut, Depends()]
