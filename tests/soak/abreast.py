"""Several playgrounds at once, each with a server, a network and a device of its own.

A schedule waits more than it works, so two or three beside each other cost little more than one;
and what they take from each other is one more accident.
"""

import multiprocessing
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing.process import BaseProcess
from multiprocessing.queues import Queue
from pathlib import Path
from queue import Empty

from playwright.sync_api import BrowserType, sync_playwright

from tests.soak.play import Playground
from tests.soak.schedule import schedule_of
from tests.soak.truth import Verdict

SPIN = "while True: pass"
LOOK_EVERY_S = 5.0
MOST_BROKEN = 5
START_ANEW = multiprocessing.get_context("spawn")


@dataclass
class Outcome:
    """What became of the schedules that were played."""

    verdicts: dict[int, Verdict] = field(default_factory=dict)
    did: Counter[str] = field(default_factory=Counter)
    network: Counter[str] = field(default_factory=Counter)
    broken: list[str] = field(default_factory=list)
    """What stopped a playground itself, in words."""


Played = tuple[int, Verdict]
Closed = tuple[Counter[str], Counter[str], list[str]]


def play_abreast(seeds: Sequence[int], grounds: int, minutes: float) -> Iterator[Played | Outcome]:
    """Play schedules, some at a time; yields each as it ends, and at last what became of all.

    None is begun after `minutes`.
    """
    waiting: Queue[int | None] = START_ANEW.Queue()
    told: Queue[Played | Closed] = START_ANEW.Queue()
    for seed in [*seeds, *[None] * grounds]:
        waiting.put(seed)
    until_s = time.monotonic() + minutes * 60
    at_work = [
        START_ANEW.Process(target=_play_what_waits, args=(waiting, told, until_s))
        for _ in range(grounds)
    ]
    for each in at_work:
        each.start()
    outcome = Outcome()
    for _ in at_work:
        while len(said := _next(told, at_work)) == 2:
            outcome.verdicts[said[0]] = said[1]
            yield said
        outcome.did += said[0]
        outcome.network += said[1]
        outcome.broken += said[2]
    waiting.cancel_join_thread()
    yield outcome


def _next(told: Queue, at_work: Sequence[BaseProcess]) -> Played | Closed:
    while True:
        try:
            return told.get(timeout=LOOK_EVERY_S)
        except Empty:
            if not any(each.is_alive() for each in at_work):
                return Counter(), Counter(), ["a playground ended without a word"]


@contextmanager
def busy_cores(wanted: bool) -> Iterator[None]:
    """A process on each core that is never done, where that is wanted."""
    spinning = [
        subprocess.Popen([sys.executable, "-c", SPIN])
        for _ in range((os.cpu_count() or 1) if wanted else 0)
    ]
    try:
        yield
    finally:
        for each in spinning:
            each.kill()
            each.wait()


def _play_what_waits(waiting: Queue, told: Queue, until_s: float) -> None:
    closed: Closed = (Counter(), Counter(), [])
    with sync_playwright() as play:
        while _play_in_one_ground(play.chromium, waiting, told, until_s, closed):
            pass
    told.put(closed)


def _play_in_one_ground(
    browser: BrowserType, waiting: Queue, told: Queue, until_s: float, closed: Closed
) -> bool:
    """Play what waits; whether the ground gave way, so that another is needed for the rest."""
    did, network, broken = closed
    seed = None
    try:
        with (
            tempfile.TemporaryDirectory() as folder,
            Playground(browser, Path(folder)) as ground,
        ):
            try:
                while time.monotonic() < until_s and (seed := waiting.get()) is not None:
                    told.put((seed, ground.play(schedule_of(seed))))
            finally:
                did.update(ground.did)
                network.update(ground.network_faults)
    except Exception as error:
        broken.append(f"schedule {seed} was not played to its end: {error!r}")
        return len(broken) < MOST_BROKEN
    return False
