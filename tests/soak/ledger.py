"""What everybody may do just now, while it is being changed: what was, or what is to be.

Between the moment a change is sent and its answer either holds; nobody may be shown more than both
of them allow together, nor later than that. Changes of one routine come one after the other, those
of different routines at the same time.
"""

import asyncio
import time
from collections.abc import Awaitable, Callable, Iterator, Sequence
from contextlib import AsyncExitStack, contextmanager
from copy import deepcopy
from dataclasses import dataclass, field

from server.domain.base.standings import RoutineAsk, Standing, granted
from server.web.frame.door import TRUSTED_S

Possible = dict[str, frozenset[RoutineAsk]]
"""Routine -> what may be had of it."""


@dataclass
class Standings:
    """How everybody stands: by shares, and through the one team."""

    shares: dict[str, dict[str, Standing]]
    members: dict[str, bool]
    """Who is in the team, and whether they lead it."""
    owned: dict[str, Standing] = field(default_factory=dict)
    """Routines of the team, and how its members stand to them who do not lead."""
    ended: set[str] = field(default_factory=set)

    def of(self, who: str, routine: str) -> frozenset[RoutineAsk]:
        """What somebody may of a routine, once they are signed in."""
        held = {self.shares[routine][who]} if who in self.shares[routine] else set()
        if routine in self.owned and who in self.members:
            held.add("owner" if self.members[who] else self.owned[routine])
        return granted(held)

    def owners(self, routine: str) -> set[str]:
        """Those with an account that stands who own a routine."""
        everybody = {*self.shares[routine], *self.members} - self.ended
        return {who for who in everybody if "own" in self.of(who, routine)}

    def end(self, who: str, heir: str) -> None:
        """End an account: what nobody else owns or leads becomes the heir's."""
        self.ended.add(who)
        leads = {each for each, does in self.members.items() if does} - self.ended
        if self.members.get(who) and not leads:
            self.members[heir] = True
        for routine, shares in self.shares.items():
            if shares.get(who) == "owner" and not self.owners(routine):
                shares[heir] = "owner"


class Ledger:
    """The standings, and who looks at something just now."""

    def __init__(self, now: Standings) -> None:
        self.now = now
        self._wider: dict[str, Standings] = {}
        self._locks = {routine: asyncio.Lock() for routine in now.shares}
        self._looks: list[tuple[str, Possible]] = []
        self._ended_s: dict[str, float] = dict.fromkeys(now.ended, 0.0)

    @contextmanager
    def looking(self, who: str) -> Iterator[Possible]:
        """What somebody may be shown by an answer that is asked for within the block."""
        ended_s = self._ended_s.get(who)
        is_over = ended_s is not None and time.monotonic() - ended_s > TRUSTED_S
        possible = {} if is_over else {each: self._possible(who, each) for each in self._locks}
        look = who, possible
        self._looks.append(look)
        yield possible
        self._looks = [each for each in self._looks if each is not look]

    async def change(
        self,
        routines: Sequence[str],
        mutate: Callable[[Standings], None],
        send: Callable[[], Awaitable[bool]],
    ) -> None:
        """Change how people stand to these routines; `send` says whether it was done."""
        async with AsyncExitStack() as held:
            for routine in sorted(routines):
                await held.enter_async_context(self._locks[routine])
            after = deepcopy(self.now)
            mutate(after)
            for routine in routines:
                self._wider[routine] = after
            for who, possible in self._looks:
                for routine in routines:
                    possible[routine] = possible.get(routine, frozenset()) | after.of(who, routine)
            if await send():
                self._take_over(after, routines)
            for routine in routines:
                del self._wider[routine]

    def _take_over(self, after: Standings, routines: Sequence[str]) -> None:
        for routine in routines:
            self.now.shares[routine] = after.shares[routine]
            self.now.owned.pop(routine, None)
            if routine in after.owned:
                self.now.owned[routine] = after.owned[routine]
        if len(routines) == len(self._locks):
            self.now.members = after.members
            for who in after.ended - self.now.ended:
                self._ended_s[who] = time.monotonic()
            for who in self.now.ended - after.ended:
                del self._ended_s[who]
            self.now.ended = after.ended

    def _possible(self, who: str, routine: str) -> frozenset[RoutineAsk]:
        wider = self._wider.get(routine)
        held = self.now.of(who, routine)
        return held if wider is None else held | wider.of(who, routine)
