"""A house full of people over two workers: all act at once, and nobody reads what is not theirs.

Owners share, take back, hand on, give to the team and take from it; the admin ends accounts and
gives them back. Meanwhile everybody asks every address with the ids of everything there is: an
answer that holds a word which whoever asked may not read is a fault, and so is a 5xx.
"""

import asyncio
import random
import time
from collections import Counter
from collections.abc import Awaitable, Callable
from contextlib import ExitStack
from pathlib import Path

import httpx

from server.domain.base.standings import EVERYTHING, STANDINGS, allows
from server.store.database import Database
from server.store.people.sign_ins import sign_in
from server.web.frame.access import ASKS
from server.web.frame.cookies import PERSON
from tests.soak.furnished import ADMIN, OWNERS, PEOPLE, TEAM, Furnished, furnish, words_of
from tests.soak.ledger import Ledger, Standings
from tests.soak.workers import SLOWEST_ANSWER_S, new_database, two_workers

DATABASE = "house"
LISTS = ("/", "/teams", f"/teams/{TEAM}", "/rules", "/recordings", "/deleted", "/people", "/house")
ENDLESS = "/api/runs/{run_id}/live"
LOOKERS, ACTORS = 6, 3
COOKIE = f"{PERSON}-80"

Send = Callable[[], Awaitable[bool]]


class House:
    """The database, two workers, the proxy before them, and everybody's browser."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.did: Counter[str] = Counter()
        self.asked: Counter[str] = Counter()

    def __enter__(self) -> "House":
        with ExitStack() as running:
            address = new_database(running, DATABASE)
            self.made: Furnished = furnish(address, self._folder)
            self._database = Database(address, folder=self._folder)
            running.callback(self._database.close)
            _, self._proxy = two_workers(running, self._folder, address, people=True)
            self._running = running.pop_all()
        # What was done in one schedule stands in the next.
        self._standings = Standings(
            {own: {who: "owner"} for own, who in OWNERS.items()}, {"Bea": True}
        )
        return self

    def __exit__(self, *_: object) -> None:
        self._running.close()

    def play(self, seed: int, changes: int) -> list[str]:
        """Let everybody act and look until so many changes were tried; returns the faults."""
        return asyncio.run(_Evening(self, seed).spend(changes))

    def sign_in(self, who: str) -> str:
        """Sign somebody in anew; returns the secret of their browser."""
        now_ms = time.time_ns() // 1_000_000
        with self._database.writing() as session:
            self.made.tokens[who] = sign_in(session, self.made.persons[who], "Phone", now_ms)[1]
        return self.made.tokens[who]

    def browser(self, who: str) -> httpx.AsyncClient:
        """A browser in which somebody is signed in; each request may come to either worker."""
        url = self._proxy.url
        return httpx.AsyncClient(
            base_url=url, headers={"Origin": url}, timeout=SLOWEST_ANSWER_S, verify=False,
            cookies={COOKIE: self.made.tokens[who]},
            limits=httpx.Limits(max_keepalive_connections=0),
        )  # fmt: skip


class _Evening:
    def __init__(self, house: House, seed: int) -> None:
        self._house = house
        self._rng = random.Random(seed)
        self._ledger = Ledger(house._standings)
        self._faults: list[str] = []
        self._left = 0

    async def spend(self, changes: int) -> list[str]:
        self._left = changes
        self._browsers = {who: self._house.browser(who) for who in PEOPLE}
        async with asyncio.TaskGroup() as all_of_them:
            for _ in range(ACTORS):
                all_of_them.create_task(self._act())
            for _ in range(LOOKERS):
                all_of_them.create_task(self._look())
        for each in self._browsers.values():
            await each.aclose()
        return self._faults

    async def _act(self) -> None:
        while self._left > 0:
            self._left -= 1
            await self._rng.choice(
                [self._give, self._give, self._take, self._hand_on, self._to_team, self._from_team,
                 self._join, self._out, self._end_or_back]
            )()  # fmt: skip

    async def _give(self) -> None:
        routine, owner = self._owned()
        who, standing = self._rng.choice(PEOPLE), self._rng.choice([*STANDINGS])
        path = f"/routines/{routine}/people/{self._id(who)}"

        def mutate(after: Standings) -> None:
            after.shares[routine][who] = standing

        await self._ledger.change([routine], mutate, self._post(owner, path, standing=standing))

    async def _take(self) -> None:
        routine, owner = self._owned()
        shares = sorted(self._ledger.now.shares[routine])
        if not shares:
            return  # All who may open it do so through the team.
        who = self._rng.choice(shares)

        def mutate(after: Standings) -> None:
            after.shares[routine].pop(who, None)

        path = f"/routines/{routine}/people/{self._id(who)}/take"
        await self._ledger.change([routine], mutate, self._post(owner, path))

    async def _hand_on(self) -> None:
        routine, owner = self._owned()
        shares = sorted(self._ledger.now.shares[routine])
        if not shares:
            return  # All who may open it do so through the team.
        to = self._rng.choice(shares)

        def mutate(after: Standings) -> None:
            after.shares[routine][to] = "owner"
            if owner != to and after.shares[routine].get(owner) == "owner":
                after.shares[routine][owner] = "copresenter"

        path = f"/routines/{routine}/people/hand-on"
        await self._ledger.change([routine], mutate, self._post(owner, path, to=self._id(to)))

    async def _to_team(self) -> None:
        routine, owner = self._owned()
        standing = self._rng.choice([each for each in STANDINGS if each != "owner"])

        def mutate(after: Standings) -> None:
            after.owned[routine] = standing

        path, typed = f"/routines/{routine}/people/team", {"team": TEAM, "standing": standing}
        await self._ledger.change([routine], mutate, self._post(owner, path, **typed))

    async def _from_team(self) -> None:
        routine, owner = self._owned()

        def mutate(after: Standings) -> None:
            after.owned.pop(routine, None)
            after.shares[routine][owner] = "owner"

        path = f"/routines/{routine}/people/team/end"
        await self._ledger.change([routine], mutate, self._post(owner, path))

    async def _join(self) -> None:
        leader, who = self._leader(), self._rng.choice(PEOPLE)

        def mutate(after: Standings) -> None:
            after.members.setdefault(who, False)

        await self._change_all(mutate, self._post(leader, f"/teams/{TEAM}/members", sign_in=who))

    async def _out(self) -> None:
        leader, who = self._leader(), self._rng.choice(sorted(self._ledger.now.members))

        def mutate(after: Standings) -> None:
            after.members.pop(who, None)

        path = f"/teams/{TEAM}/members/{self._id(who)}/take"
        await self._change_all(mutate, self._post(leader, path))

    async def _end_or_back(self) -> None:
        who = self._rng.choice([each for each in PEOPLE if each != ADMIN])
        if who in self._ledger.now.ended:
            path = f"/people/{self._id(who)}/back"
            await self._change_all(lambda after: after.ended.discard(who), self._post(ADMIN, path))
            token = await asyncio.to_thread(self._house.sign_in, who)
            self._browsers[who].cookies.delete(COOKIE)
            self._browsers[who].cookies.set(COOKIE, token)
        else:
            path = f"/people/{self._id(who)}/end"
            await self._change_all(lambda after: after.end(who, ADMIN), self._post(ADMIN, path))

    async def _change_all(self, mutate: Callable[[Standings], None], send: Send) -> None:
        await self._ledger.change([*OWNERS], mutate, send)

    def _owned(self) -> tuple[str, str]:
        routine = self._rng.choice([*OWNERS])
        return routine, self._rng.choice(sorted(self._ledger.now.owners(routine)) or [ADMIN])

    def _leader(self) -> str:
        now = self._ledger.now
        leaders = [who for who, leads in now.members.items() if leads and who not in now.ended]
        return self._rng.choice(sorted(leaders) or [ADMIN])

    def _id(self, who: str) -> str:
        return self._house.made.persons[who]

    def _post(self, who: str, path: str, **typed: str) -> Send:
        async def send() -> bool:
            answer = await self._browsers[who].post(path, data=typed)
            self._note("POST", path, who, answer)
            self._house.did[f"{answer.status_code}"] += 1
            return answer.is_redirect and "/sign-in" not in answer.headers["location"]

        return send

    async def _look(self) -> None:
        rows = [row for row, ask in ASKS.items() if ask in EVERYTHING and not row.endswith(ENDLESS)]
        while self._left > 0:
            who, routine = self._rng.choice(PEOPLE), self._rng.choice([*OWNERS])
            method, path = self._rng.choice(rows).split()
            ids = self._house.made.ids[routine]
            if self._rng.random() < 0.2:
                method, path = "GET", self._rng.choice(LISTS)
            await self._ask(who, routine, method, path, ids)

    async def _ask(
        self, who: str, routine: str, method: str, path: str, ids: dict[str, str]
    ) -> None:
        row = f"{method} {path}"
        with self._ledger.looking(who) as possible:
            held = possible.get(routine, frozenset())
            if method not in ("GET", "HEAD") and allows(ASKS[row], held, is_open=True):
                return  # It would change something that the ledger knows nothing of.
            answer = await self._browsers[who].request(method, _filled(path, ids))
        self._note(method, path, who, answer)
        self._house.asked["shown" if answer.is_success else "refused"] += 1
        for own in OWNERS:
            held = possible.get(own, frozenset())
            told = [
                word for need, word in words_of(own) if need not in held and word in answer.text
            ]
            if told:
                self._faults.append(f"{who} read {told} at {row} with ids of {routine}")
        # Who came to be allowed while it was asked for may be let in after all.
        held = possible.get(routine, frozenset())
        if method not in ("GET", "HEAD") and answer.is_success and not allows(ASKS[row], held):
            self._faults.append(f"{who} did {row} with ids of {routine}")

    def _note(self, method: str, path: str, who: str, answer: httpx.Response) -> None:
        if answer.status_code >= 500:
            self._faults.append(f"{answer.status_code} for {who} at {method} {path}")


def _filled(path: str, ids: dict[str, str]) -> str:
    for part in path.split("{")[1:]:
        name = part.split("}")[0]
        path = path.replace(f"{{{name}}}", ids.get(name, "one"))
    return path
