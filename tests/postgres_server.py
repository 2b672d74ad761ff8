"""A PostgreSQL server of the tests' own: on a socket in a folder of its own, for one process.

PostgreSQL refuses to run as root: there it runs as the user that its package made. What is written
is not synced, but where a test is about that: the whole folder goes when the tests end.
"""

import atexit
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import psycopg

from tests.postgres_installed import DEBIAN_POSTGRES

PORT = 5432
"""Of the socket's name; nothing listens on the network."""

SLOWEST_START_S = 60
LOOK_EVERY_S = 0.02

QUICK = (
    "fsync=off", "full_page_writes=off", "autovacuum=off", "max_connections=60",
    "shared_buffers=32MB", "listen_addresses=", "log_min_messages=fatal",
)  # fmt: skip

DURABLE = ("listen_addresses=", "max_connections=60", "log_min_messages=fatal")
"""As it is installed, for what is measured: it waits for its disk."""

NOT_HERE = "PostgreSQL is not to be had here"


class Missing(Exception):
    """PostgreSQL is not on this machine, or does not start on it; says what to do."""


def binaries() -> Path:
    """The folder of PostgreSQL's programs, the newest where there are several. Raises Missing."""
    found = sorted(DEBIAN_POSTGRES.glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    on_path = shutil.which("initdb")
    if found:
        return found[-1].parent
    if on_path:
        return Path(on_path).resolve().parent
    raise Missing(f"{NOT_HERE} (Debian: apt-get install postgresql)")


class PostgresServer:
    """A server that runs until `stop`; `settings` are lines of its configuration."""

    def __init__(self, settings: Sequence[str] = QUICK) -> None:
        self._programs = binaries()
        # The path of a socket has room for some hundred characters.
        self.folder = Path(tempfile.mkdtemp(prefix="nf-pg-", dir="/tmp"))
        self._settings = settings
        self._as: list[str] = []
        if os.geteuid() == 0:
            self._as = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups"]
            owner = pwd.getpwnam("postgres")
            os.chown(self.folder, owner.pw_uid, owner.pw_gid)
        # Where the tests are killed it must not go on alone.
        has_setpriv = shutil.which("setpriv") is not None
        with_us = ["setpriv", "--pdeathsig=QUIT"] if has_setpriv else []
        self._dies_with_us = [*with_us, *self._as[1:]] if self._as else with_us
        self._initialise()
        self.start()

    def start(self) -> None:
        """Start it and wait until it answers."""
        options = (*self._settings, f"unix_socket_directories={self.folder}")
        command = [str(self._programs / "postgres"), "-D", str(self.folder / "data")]
        command += [part for each in options for part in ("-c", each)]
        with (self.folder / "log").open("ab") as log:
            self._server = subprocess.Popen(
                [*self._dies_with_us, *command], cwd="/", stdin=subprocess.DEVNULL,
                stdout=log, stderr=log,
            )  # fmt: skip
        give_up = time.monotonic() + SLOWEST_START_S
        while not self._is_ready():
            assert self._server.poll() is None, "it ended: " + self._said()
            assert time.monotonic() < give_up, "it does not answer: " + self._said()
            time.sleep(LOOK_EVERY_S)

    def halt(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop it; what it keeps stays."""
        self._server.send_signal(how)
        self._server.wait(SLOWEST_START_S)

    def stop(self) -> None:
        """Stop it and take away what it kept."""
        self.halt(signal.SIGQUIT)
        shutil.rmtree(self.folder, ignore_errors=True)

    def address(self, name: str) -> str:
        """The address of one of its databases, as the app takes it."""
        return f"postgresql+psycopg://tests@/{name}?host={self.folder}&port={PORT}"

    def do(self, *statements: str) -> None:
        """Run statements outside any transaction, in a database of nobody's."""
        plain = self.address("postgres").replace("+psycopg", "")
        with psycopg.connect(plain, autocommit=True) as connection:
            for each in statements:
                connection.execute(each)

    def _is_ready(self) -> bool:
        try:
            self.do("SELECT 1")
        except psycopg.OperationalError:
            return False
        return True

    def _said(self) -> str:
        return (self.folder / "log").read_text()[-500:]

    def _initialise(self) -> None:
        done = subprocess.run(
            [
                *self._as, str(self._programs / "initdb"), "--auth=trust", "--username=tests",
                "--encoding=UTF8", "--locale=C", "--no-sync", "--no-instructions",
                "--pgdata", str(self.folder / "data"),
            ],
            cwd="/", capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode:
            raise RuntimeError(f"initdb ended with {done.returncode}: {done.stderr[-500:]}")


def shared_server() -> PostgresServer:
    """The server that the tests of this process share; it ends with the process. Raises Missing."""
    found = _server_or_why_not()
    if isinstance(found, Missing):
        raise found
    return found


@cache
def _server_or_why_not() -> PostgresServer | Missing:
    try:
        server = PostgresServer()
    except Missing as missing:
        return missing
    except (RuntimeError, AssertionError, OSError, KeyError) as error:
        # Where nobody may become its user, or its memory is refused, it is as good as missing.
        return Missing(f"{NOT_HERE}: {error}")
    atexit.register(server.stop)
    return server
