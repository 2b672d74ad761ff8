"""Starting, stopping and backing up, as a person does it: with commands."""

import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from server.settings import ROOT
from tests import asking
from tests.forked import ForkedServer, run_forked, without_ours
from tests.real_server import LOOK_EVERY_S

SLOWEST_STOP_S = 60
FULL_AT_BYTES = 20_000
"""How long a file may get: to SQLite that is a disk that is full."""


@cache
def said_in():
    """Where commands print to, also those of a module that has `started` from here."""
    return TemporaryDirectory(prefix="said-")


def run(*arguments, **variables):
    return run_forked(arguments, without_ours() | variables, Path(said_in().name))


@contextmanager
def started(*arguments, **variables):
    """A running app, and the text it announced itself with."""
    printed = Path(said_in().name) / f"started-{time.monotonic_ns()}"
    # A forked one may have no children.
    start = spawned if "--workers" in arguments else ForkedServer
    process = start(arguments, without_ours() | variables, printed)
    try:
        while "Stop with" not in (said := text_of(printed)):
            assert process.poll() is None, f"it ended before it announced itself: {said}"
            time.sleep(LOOK_EVERY_S)
        yield process, said
    finally:
        process.kill()
        process.wait()


def spawned(arguments, variables, out):
    command = [sys.executable, "-m", "server", *map(str, arguments)]
    with out.open("wb") as said:
        return subprocess.Popen(command, cwd=ROOT, env=variables, stdout=said, stderr=said)


def text_of(file):
    return file.read_text() if file.exists() else ""


def address_in(said):
    return re.search(r"http://localhost:\d+", said)[0]


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    data = tmp_path_factory.mktemp("start") / "made" / "on the way"
    with started("--port", 0, "--data", data) as (_, said):
        yield data, said


def test_it_answers_by_the_time_it_is_announced(app):
    _, said = app
    assert asking.get(f"{address_in(said)}/healthz").text == "ok"


def test_a_new_database_holds_the_demo(app):
    _, said = app
    assert "demo" in asking.get(address_in(said)).text.lower()


def test_a_backup_can_be_taken_while_it_runs_and_brought_back(app, tmp_path):
    data, _ = app
    told = run("backup", "--data", data, tmp_path / "monday.zip")
    assert told.stdout.startswith(f"Backed up {data} to {tmp_path}/monday.zip: the database, ")
    assert [path.name for path in tmp_path.iterdir()] == ["monday.zip"]
    back = run("restore", "--data", tmp_path / "again", tmp_path / "monday.zip")
    assert (back.returncode, back.stderr) == (0, "")
    assert tables(tmp_path / "again" / "ninefifty.db") == tables(data / "ninefifty.db") != []


def test_nothing_that_is_kept_can_be_read_by_others_on_the_machine(app, tmp_path):
    data, _ = app
    run("backup", "--data", data, tmp_path / "monday.zip")
    files = [tmp_path / "monday.zip", data, *data.rglob("*")]
    assert [path for path in files if path.stat().st_mode & 0o077] == []


def test_a_second_start_on_the_same_data_is_refused_with_the_address_of_the_first(app):
    data, said = app
    told = run("--port", 0, "--data", data)
    assert (told.returncode, told.stdout) == (1, "")
    assert f"open {address_in(said)}, or stop that one first" in told.stderr


def test_nothing_is_restored_under_a_running_app(app, tmp_path):
    data, said = app
    run("backup", "--data", data, tmp_path / "monday.zip")
    told = run("restore", "--data", data, tmp_path / "monday.zip")
    assert (told.returncode, address_in(said) in told.stderr) == (1, True)


def test_a_start_on_a_damaged_database_says_so_in_sentences(tmp_path):
    (tmp_path / "ninefifty.db").write_text("no database " * 100)
    told = run("--port", 0, "--data", tmp_path)
    assert (told.returncode, "Traceback" in told.stderr) == (1, False)
    assert "is no database: it begins with the text" in told.stderr


def test_a_start_on_a_full_disk_says_so_in_sentences(tmp_path):
    started_anew = [sys.executable, "-P", "-m", "server", "--port", "0", "--data", tmp_path]
    told = subprocess.run(
        ["prlimit", f"--fsize={FULL_AT_BYTES}", *started_anew],
        capture_output=True,
        text=True,
        env=without_ours() | {"PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert (told.returncode, "Traceback" in told.stderr) == (1, False)
    assert "it may be full" in told.stderr
    with started("--port", 0, "--data", tmp_path) as (_, said):
        assert "demo" in asking.get(address_in(said)).text.lower()


def test_recordings_without_their_database_are_asked_about_before_a_new_one_begins(tmp_path):
    (tmp_path / "recordings").mkdir()
    (tmp_path / "recordings" / "ab").write_text("sound")
    told = run("--port", 0, "--data", tmp_path)
    assert (told.returncode, "Yet beside it lie 1 recording" in told.stderr) == (1, True)
    with started("--port", 0, "--data", tmp_path, "--new", "--no-demo") as (_, said):
        assert asking.get(address_in(said)).status_code == 200


def test_a_backup_replaces_nothing(app, tmp_path):
    data, _ = app
    (tmp_path / "monday.db").write_text("precious")
    told = run("backup", "--data", data, tmp_path / "monday.db")
    assert (told.returncode, "exists already" in told.stderr) == (1, True)
    assert (tmp_path / "monday.db").read_text() == "precious"


def test_a_backup_into_a_folder_that_is_not_there_is_explained(app, tmp_path):
    data, _ = app
    told = run("backup", "--data", data, tmp_path / "gone" / "monday.db")
    assert told.returncode == 1
    assert told.stderr.startswith(f"{tmp_path}/gone/monday.db cannot be written: ")


def test_a_database_that_cannot_be_read_is_not_passed_off_as_a_backup(tmp_path):
    (tmp_path / "ninefifty.db").write_text("no database " * 100)
    told = run("backup", "--data", tmp_path, tmp_path / "monday.db")
    assert told.returncode == 1
    assert told.stderr.startswith(f"{tmp_path}/ninefifty.db is damaged, so this would be no backup")
    assert not (tmp_path / "monday.db").exists()


def test_without_a_database_there_is_nothing_to_back_up(tmp_path):
    told = run("backup", tmp_path / "monday.db", NINEFIFTY_DATA=str(tmp_path / "empty"))
    assert (told.returncode, "nothing to back up" in told.stderr) == (1, True)
    assert not (tmp_path / "empty").exists()


@pytest.mark.parametrize(
    ("stop", "status"), [(signal.SIGINT, {0}), (signal.SIGTERM, {0, -signal.SIGTERM})]
)
def test_it_stops_when_asked_even_while_somebody_is_connected(tmp_path, stop, status):
    with started("--port", 0, "--data", tmp_path, "--no-demo") as (process, said):
        port = int(address_in(said).rsplit(":", 1)[1])
        with socket.create_connection(("127.0.0.1", port)):
            process.send_signal(stop)
            assert process.wait(SLOWEST_STOP_S) in status


def test_a_port_that_is_taken_is_named_with_a_way_out(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        told = run("--port", port, "--data", tmp_path, NINEFIFTY_HOST="127.0.0.1")
    assert (told.returncode, told.stdout) == (1, "")
    assert told.stderr.startswith(f"Port {port} is taken")


def test_an_address_of_another_machine_is_refused_by_name(tmp_path):
    told = run("--data", tmp_path, NINEFIFTY_HOST="203.0.113.9")
    assert told.stderr == "NINEFIFTY_HOST is “203.0.113.9”: this machine has no such address.\n"


def test_a_data_folder_that_is_a_file_is_refused_by_name(tmp_path):
    (tmp_path / "data").write_text("a file")
    told = run(NINEFIFTY_DATA=str(tmp_path / "data"))
    assert told.returncode == 1
    assert told.stderr.startswith(f"NINEFIFTY_DATA is “{tmp_path}/data”: ")


def test_wrong_settings_stop_the_start_with_all_their_names():
    told = run(NINEFIFTY_PORT="eighty", NINEFIFTY_DEMO="maybe")
    assert told.returncode == 1
    assert [line.split()[0] for line in told.stderr.splitlines()] == [
        "NINEFIFTY_PORT",
        "NINEFIFTY_DEMO",
    ]


def test_a_wrong_option_is_named_with_its_value():
    told = run("--port", "99999")
    assert told.returncode == 2
    assert "argument --port: “99999”: give a whole number" in told.stderr


def tables(path):
    connection = sqlite3.connect(path)
    names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    connection.close()
    return sorted(names)


def recordings_with(address, link):
    """The status of a page of the owner's, in a new browser on the network that opens a link."""
    headers = {"Host": "tablet.lan", "Origin": "http://tablet.lan"}
    with asking.Client(base_url=address, headers=headers) as browser:
        # Browsers keep what stands behind "#"; the page sends it on.
        browser.post("/in/link", data={"secret": link.rpartition("#")[2]})
        return browser.get("/recordings").status_code


def test_a_stranger_on_the_network_is_turned_away_until_a_link_lets_it_in(app):
    data, said = app
    address = address_in(said)
    assert recordings_with(address, "made up") == 403
    told = run("--port", 8000, "let-me-in", "--data", data).stdout
    link = re.search(r"http://\S+/in#\S+", told)[0]
    assert recordings_with(address, link) == 200
    assert recordings_with(address, link) == 403


def test_without_a_database_there_is_nothing_to_be_let_in_to(tmp_path):
    ended = run("let-me-in", "--data", tmp_path)
    assert (ended.returncode, "Start the app first" in ended.stderr) == (1, True)


def test_an_open_door_is_told_at_the_start(tmp_path):
    with started("--port", 0, "--no-demo", "--open", "--data", tmp_path) as (_, said):
        assert "THE DOOR IS OPEN" in said
        assert "/in#" not in said
        assert recordings_with(address_in(said), "made up") == 200
