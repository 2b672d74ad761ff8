"""Several workers on one port, as a person starts and stops them."""

import os
import signal
import time
from pathlib import Path

import httpx
import pytest

from server.domain.base.errors import InvalidInput
from server.settings import Settings, read_settings
from server.several import SLOWEST_START_S, require_one_database
from tests.postgres_server import shared_server
from tests.test_start import address_in, started

WITHIN_S = 300


def workers_of(pid):
    """The processes that answer for a parent."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    named = {int(each): Path(f"/proc/{each}/cmdline").read_text() for each in children}
    return {each for each, words in named.items() if "spawn_main" in words}


@pytest.mark.parametrize(
    ("settings", "why"),
    [
        (Settings(workers=2), "several workers need PostgreSQL"),
        (Settings(workers=2, database="postgresql://x/y", https=True), "put a proxy"),
    ],
)
def test_several_workers_are_refused_where_they_cannot_work_together(settings, why):
    with pytest.raises(SystemExit, match=why):
        require_one_database(settings)


@pytest.mark.parametrize("count", ["0", "17", "two"])
def test_a_number_of_workers_is_a_small_whole_one(count):
    with pytest.raises(InvalidInput, match="workers from 1 to 16"):
        read_settings({"NINEFIFTY_WORKERS": count})


@pytest.fixture
def several(tmp_path):
    """Two workers of a new database: what looks after them, and what it said."""
    server, name = shared_server(), f"several-{time.monotonic_ns()}"
    server.do(f'CREATE DATABASE "{name}"')
    arguments = ["--data", tmp_path, "--workers", 2, "--port", 0, "--no-demo"]
    with started(*arguments, NINEFIFTY_DATABASE=server.address(name)) as running:
        yield running


def are_gone(pids, within_s):
    give_up = time.monotonic() + within_s
    while any(Path(f"/proc/{each}").exists() for each in pids):
        if time.monotonic() > give_up:
            return False
        time.sleep(0.1)
    return True


@pytest.mark.thorough
def test_a_worker_that_dies_is_begun_anew_and_all_end_together(several):
    process, said = several
    before = workers_of(process.pid)
    assert len(before) == 2
    dead = min(before)
    # It stands still, so it is being asked whether it lives when it is killed.
    os.kill(dead, signal.SIGSTOP)
    time.sleep(3)
    os.kill(dead, signal.SIGKILL)
    assert are_gone([dead], SLOWEST_START_S / 2), "nobody saw that it died"
    assert httpx.get(f"{address_in(said)}/healthz", timeout=WITHIN_S).text == "ok"
    give_up = time.monotonic() + WITHIN_S
    while len(now := workers_of(process.pid)) < 2:
        assert time.monotonic() < give_up, "no other was begun"
        time.sleep(0.1)
    process.send_signal(signal.SIGTERM)
    process.wait(WITHIN_S)
    assert are_gone(now, 0)


@pytest.mark.thorough
def test_workers_end_with_what_looked_after_them_however_that_ended(several):
    process, _ = several
    workers = workers_of(process.pid)
    assert len(workers) == 2
    process.kill()
    process.wait()
    assert are_gone(workers, 60), "they hold the port and the folder for ever"
