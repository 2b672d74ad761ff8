"""Several workers on one port, as a person starts and stops them."""

import os
import signal
import time
from pathlib import Path

import httpx
import pytest

from server.domain.base.errors import InvalidInput
from server.settings import Settings, read_settings
from server.several import require_one_database
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


@pytest.mark.thorough
def test_a_worker_that_dies_is_begun_anew_and_all_end_together(tmp_path):
    server = shared_server()
    server.do('CREATE DATABASE "several"')
    arguments = ["--data", tmp_path, "--workers", 2, "--port", 0, "--no-demo"]
    with started(*arguments, NINEFIFTY_DATABASE=server.address("several")) as (process, said):
        before = workers_of(process.pid)
        assert len(before) == 2
        dead = min(before)
        os.kill(dead, signal.SIGKILL)
        assert httpx.get(f"{address_in(said)}/healthz", timeout=WITHIN_S).text == "ok"
        give_up = time.monotonic() + WITHIN_S
        while len(now := workers_of(process.pid) - {dead}) < 2:
            assert time.monotonic() < give_up, "no other was begun"
            time.sleep(0.1)
        process.send_signal(signal.SIGTERM)
        process.wait(WITHIN_S)
        assert not any(Path(f"/proc/{each}").exists() for each in now)
