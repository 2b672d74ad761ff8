"""Two workers on one PostgreSQL database, killed at random while people use them both.

A schedule says after how many acknowledged marks which worker is killed, and when it is begun
again: nothing in it waits for a clock. In some both are dead for a while.
"""

import asyncio
import random
from collections import Counter
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import httpx

from tests.browser.desk import Desk
from tests.postgres_server import PostgresServer
from tests.real_server import RealServer
from tests.soak.people import PATIENCE_S, Shown, follow, marks_of, present, upload
from tests.soak.share import SharingProxy

RUNS, FOLLOWERS, MARKS = 3, 2, 40
WITHIN_S, SLOWEST_START_S = 900, 300
SLOWEST_ANSWER_S = 120
"""How long is waited for a worker that has just begun, on a machine that does other things too."""

DATABASE = "soak"


@dataclass(frozen=True)
class Blow:
    """After so many acknowledged marks this worker is killed, or begun again."""

    after: int
    worker: int
    kills: bool

    def __str__(self) -> str:
        return f"{'kill' if self.kills else 'begin'} {self.worker} after {self.after}"


def blows_of(seed: int) -> list[Blow]:
    """What befalls the workers in the schedule with this seed: the same for ever.

    Each is up again at the end. Marks go on as long as one lives: only then a count is reached.
    """
    rng = random.Random(seed)
    blows: list[Blow] = []
    after = 0
    for _ in range(rng.randint(1, 3)):
        after += rng.randint(5, 25)
        worker = rng.randrange(2)
        blows.append(Blow(after, worker, kills=True))
        if rng.random() < 0.25:  # The other one too: nobody answers until both are back.
            blows += [Blow(after, 1 - worker, kills=True), Blow(after, 1 - worker, kills=False)]
        else:
            after += rng.randint(0, 15)
        blows.append(Blow(after, worker, kills=False))
    return blows


@dataclass(frozen=True)
class Told:
    """How a schedule went."""

    faults: tuple[str, ...]
    marks: int


def new_database(running: ExitStack, name: str) -> str:
    """The address of an empty database on a server of its own, both gone when all ends."""
    postgres = PostgresServer()
    running.callback(postgres.stop)
    postgres.do(f'CREATE DATABASE "{name}"')
    return postgres.address(name)


def two_workers(
    running: ExitStack, folder: Path, address: str, *, people: bool = False
) -> tuple[list[RealServer], SharingProxy]:
    """Two workers on a database, begun, and the proxy before them."""
    workers = [
        RealServer(
            folder / "data", demo=False, people=people, database=address,
            patience_s=SLOWEST_START_S,
        )
        for _ in range(2)
    ]  # fmt: skip
    for each in workers:
        running.callback(each.stop)
        each.start()
    proxy = SharingProxy([each.port for each in workers])
    proxy.start()
    running.callback(proxy.stop)
    return workers, proxy


class TwoWorkers:
    """The database, the workers and the proxy before them; schedules are played one by one."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.did: Counter[str] = Counter()

    def __enter__(self) -> "TwoWorkers":
        with ExitStack() as running:
            address = new_database(running, DATABASE)
            self.workers, self.proxy = two_workers(running, self._folder, address)
            with _desk(self.proxy.url) as desk:
                self._routine = desk.routine("Evening set", {"Greet": "0:20", "Serve": "0:30"})
            self._running = running.pop_all()
        return self

    def __exit__(self, *_error: object) -> None:
        self._running.close()

    def play(self, seed: int) -> Told:
        """Play a schedule, and compare what everybody has with what was made."""
        with _desk(self.proxy.url) as desk:
            runs = [_open_run(desk, self._routine) for _ in range(RUNS)]
            sent = asyncio.run(self._use(seed, runs))
            faults = [fault for shown, _ in runs for fault in _faults_of(desk, shown)]
            kept = desk.get(f"/recordings/{_recording(runs[0][0])}").content
        if kept != sent:
            faults.append(
                f"the recording has {len(kept)} bytes, not the {len(sent)} that were sent"
            )
        return Told(tuple(faults), RUNS * MARKS)

    async def _use(self, seed: int, runs: list[tuple[Shown, list[str]]]) -> bytes:
        blows, count = blows_of(seed), _Count()
        # Each request on a connection of its own, so that the proxy shares them out.
        limits = httpx.Limits(max_keepalive_connections=0)
        async with httpx.AsyncClient(
            base_url=self.proxy.url, headers={"Origin": self.proxy.url}, limits=limits,
            timeout=PATIENCE_S, verify=False,
        ) as client, asyncio.timeout(WITHIN_S):  # fmt: skip
            strike = asyncio.create_task(self._strike(blows, count))
            async with asyncio.TaskGroup() as all_of_them:
                for number, (shown, cookies) in enumerate(runs):
                    rng = random.Random(f"{seed} {number}")
                    all_of_them.create_task(present(client, shown, rng, count.one_more))
                    for place, each in enumerate(cookies):
                        all_of_them.create_task(follow(client, shown, each, f"d{place}"))
                shown = runs[0][0]
                uploading = all_of_them.create_task(upload(client, shown.run_id, _recording(shown)))
            await strike
        return uploading.result()

    async def _strike(self, blows: list[Blow], count: "_Count") -> None:
        for blow in blows:
            await count.reach(blow.after)
            worker = self.workers[blow.worker]
            self.did["killed" if blow.kills else "begun"] += 1
            await asyncio.to_thread(worker.kill if blow.kills else worker.start)


class _Count:
    """Acknowledged marks; somebody waits until there are enough."""

    def __init__(self) -> None:
        self._number = 0
        self._grown = asyncio.Event()

    def one_more(self) -> None:
        self._number += 1
        self._grown.set()

    async def reach(self, number: int) -> None:
        while self._number < number:
            self._grown.clear()
            await self._grown.wait()


def _desk(url: str) -> Desk:
    desk = Desk(url)
    desk.timeout = httpx.Timeout(SLOWEST_ANSWER_S)
    return desk


def _open_run(desk: Desk, routine_id: str) -> tuple[Shown, list[str]]:
    """A run with the cookies of those who may follow it."""
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    page = desk.post(f"/runs/{run_id}/watchers").text
    code = page.split('id="code">', 1)[1].split("<", 1)[0]
    cookies = []
    for _ in range(FOLLOWERS):
        with _desk(str(desk.base_url).rstrip("/")) as one:
            one.post("/join", data={"code": code, "name": "Ada"}, follow_redirects=False)
            cookies.append("; ".join(f"{name}={value}" for name, value in one.cookies.items()))
    return Shown(run_id, marks_of(run_id, MARKS)), cookies


def _recording(shown: Shown) -> str:
    return f"take-{shown.run_id}"


def _faults_of(desk: Desk, shown: Shown) -> list[str]:
    """What the log of a run and its followers have otherwise than it was made."""
    made = [each["id"] for each in shown.made]
    stored = desk.get(f"/api/runs/{shown.run_id}/events").json()["events"]
    faults = [] if [each["id"] for each in stored] == made else [_said("the log", stored, made)]
    if not faults and stored != shown.made:
        faults.append("the log holds other marks under the same names")
    for number, seen in enumerate(shown.followers):
        if [event_id for _, event_id in seen] != made:
            faults.append(_said(f"follower {number}", [{"id": each} for _, each in seen], made))
        elif sorted({rev for rev, _ in seen}) != [rev for rev, _ in seen]:
            faults.append(f"follower {number} was shown revs out of order")
    return faults


def _said(who: str, found: list[dict[str, str]], made: list[str]) -> str:
    ids = [each["id"] for each in found]
    lost = [each for each in made if each not in ids]
    twice = [each for each, times in Counter(ids).items() if times > 1]
    return f"{who}: lost {lost}, twice {twice}, in order {ids == sorted(ids, key=made.index)}"
