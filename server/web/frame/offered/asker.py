"""Who asks for a page, and what they may have of what its address is about."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.domain.base.rights import Role
from server.domain.base.standings import EVERYTHING, Ask, RoutineAsk, allows

if TYPE_CHECKING:
    from server.domain.people.person import Person
    from server.store.devices import Device
    from server.store.tastings.tasters import Taster
    from server.store.watchers import Watcher

NOT_HERE = "There is nothing at this address, or it is not shared with you."
NOTE_USE_EVERY_MS = 10 * 60_000


@dataclass(frozen=True)
class Grants:
    """What is granted of the routine that an address is about; `routine_id` is None for others."""

    routine_id: str | None = None
    asks: frozenset[RoutineAsk] = frozenset()
    is_open: bool = False
    """Whether the run in question is open to watchers just now."""

    def allow(self, ask: Ask) -> bool:
        """Whether what asks that may be had."""
        return allows(ask, self.asks, is_open=self.is_open)


OF_NOBODY = Grants(asks=EVERYTHING)
"""Where people have no accounts: the owner's devices decide alone."""

LEFT_TO_THE_OWNER: frozenset[RoutineAsk] = frozenset({"edit", "own", "hear"})
"""What of a routine is asked of the owner's devices, and shown to no helper."""


@dataclass(frozen=True)
class Asker:
    """Who asks: as what their device is let in, if it is, and whose the names in logs are."""

    role: Role | None
    key: str = ""
    """Whose they are from now on; "" where nobody is told apart."""
    device: "Device | None" = None
    watcher: "Watcher | None" = None
    """Who they watch the run in question as, where their device is not let in."""
    keys: frozenset[str] = frozenset()
    """All that the names of this browser may be kept under: let in later, it stays who it was."""
    taster: "Taster | None" = None
    """Who they are at the tasting in question."""
    person: "Person | None" = None
    """Who is signed in; None where people have no accounts."""
    must_sign_in: bool = False
    """Whether people have accounts, and this is none of theirs."""
    is_first: bool = False
    """Whether people are to have accounts, none is made yet, and who asks may make it."""
    grants: Grants = OF_NOBODY
    """What may be had of the routine in question."""

    @property
    def judges(self) -> bool:
        """Whether they stand to the routine in question as a judge, and no nearer."""
        held = self.grants.asks
        return self.person is not None and "follow-open" in held and "follow" not in held

    @property
    def helps(self) -> bool:
        """Whether their device is let in as one that helps, where people have no accounts."""
        return self.person is None and self.role == "helper"

    def may(self, ask: Ask) -> bool:
        """Whether what asks that is shown to who asks: what answers 403 is offered to nobody."""
        if self.person is None:
            return self.role == "mine" or ask not in (LEFT_TO_THE_OWNER if self.helps else {"hear"})
        return self.grants.allow(ask)
