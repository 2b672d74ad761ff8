"""The app as it really runs: a process of its own that can be killed and started again."""

import signal
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path

from server.settings import ROOT
from tests.forked import ForkedServer, without_ours
from tests.owner import let_owner_in
from tests.ports import free_port, is_answered
from tests.prepared import put_file

SLOWEST_START_S = 90
LOOK_EVERY_S = 0.02

forks = False
"""Whether servers are forked from one that is loaded, and begin with a database that was copied;
measurements and the soak start them anew, as people do."""


class RealServer:
    """The app over one data folder. It keeps its port, so an open page finds it again."""

    def __init__(
        self,
        data: Path,
        *,
        demo: bool = True,
        patience_s: float = SLOWEST_START_S,
        https: bool = False,
        hosts: str = "",
        database: str = "",
        workers: int = 1,
        people: bool = False,
        variables: Mapping[str, str] | None = None,
    ) -> None:
        self._data = data
        self._demo = demo
        self._patience_s = patience_s
        self._https = https
        self._hosts = hosts
        self._database = database
        self._workers = workers
        self._people = people
        self._variables = dict(variables or {})
        self._process: subprocess.Popen[bytes] | ForkedServer | None = None
        self.port = free_port()
        self.https_port = free_port() if https else 0

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def https_url(self) -> str:
        return f"https://127.0.0.1:{self.https_port}"

    @property
    def authority_file(self) -> Path:
        return self._data / "https" / "authority.pem"

    @property
    def pid(self) -> int:
        assert self._process is not None, "it is not running"
        return self._process.pid

    def start(self) -> None:
        """Start it, and return when it answers."""
        self.launch()
        give_up = time.monotonic() + self._patience_s
        while not is_answered(self.port):
            assert self._process.poll() is None, "the server ended:\n" + self.log()
            assert time.monotonic() < give_up, "the server does not answer:\n" + self.log()
            time.sleep(LOOK_EVERY_S)
        let_owner_in(self._data, self._database)

    def launch(self) -> None:
        """Start it, and return at once."""
        assert self._process is None, "it runs already"
        self._data.mkdir(parents=True, exist_ok=True)
        if forks and self._workers == 1:
            if not (self._database or self._people or self._demo):
                put_file(self._data)
            log = self._data / "server.log"
            self._process = ForkedServer((), self._environment(), log)
            return
        with (self._data / "server.log").open("ab") as log:
            command = [sys.executable, "-P", "-m", "server"]
            self._process = subprocess.Popen(
                command, env=self._environment(), cwd=ROOT, stdout=log, stderr=log
            )

    def __enter__(self) -> "RealServer":
        self.start()
        return self

    def __exit__(self, *_error: object) -> None:
        self.stop()

    def start_beside(self) -> str:
        """Start a second one on the same data; returns what it says when it is refused."""
        environment = {**self._environment(), "NINEFIFTY_PORT": str(free_port())}
        command = [sys.executable, "-P", "-m", "server"]
        ended = subprocess.run(
            command, env=environment, cwd=ROOT, capture_output=True, text=True, timeout=60
        )
        return ended.stderr

    def kill(self) -> None:
        """End it without a warning, as a power cut would."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """End it as a person does, if it runs."""
        if self._process is not None:
            self._end(signal.SIGTERM)

    def log(self) -> str:
        """What it has printed so far."""
        return (self._data / "server.log").read_text(encoding="utf-8")

    def _end(self, how: signal.Signals) -> None:
        assert self._process is not None, "it is not running"
        self._process.send_signal(how)
        self._process.wait(timeout=SLOWEST_START_S)
        self._process = None

    def _environment(self) -> dict[str, str]:
        kept = without_ours()
        # A person's start leaves bytecode behind, and the next is quick for it.
        kept.pop("PYTHONDONTWRITEBYTECODE", None)
        return kept | {
            "PYTHONPATH": str(ROOT),
            "NINEFIFTY_DATA": str(self._data),
            "NINEFIFTY_HOST": "127.0.0.1",
            "NINEFIFTY_PEOPLE": "yes" if self._people else "no",
            "NINEFIFTY_PORT": str(self.port),
            "NINEFIFTY_DEMO": "yes" if self._demo else "no",
            "NINEFIFTY_HOSTS": self._hosts,
            "NINEFIFTY_HTTPS": "yes" if self._https else "no",
            "NINEFIFTY_HTTPS_PORT": str(self.https_port),
            "NINEFIFTY_DATABASE": self._database,
            "NINEFIFTY_WORKERS": str(self._workers),
            **self._variables,
        }
