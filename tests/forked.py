"""`python -m server` without its start: forked from a process that has loaded the app already.

Some sixty servers are started and killed in a run of all tests. Each would load the whole app anew,
which takes longer than what the test asks of it. A forked one is a process of its own all the same:
it can be killed, its files and sockets are its own, and it runs the same `main`.
"""

import multiprocessing
import os
import signal
import sys
import time
from multiprocessing.forkserver import set_forkserver_preload
from pathlib import Path
from subprocess import CompletedProcess, TimeoutExpired

from server.rooms import ROOMS
from server.settings import ROOT, SETTINGS

LOADED = (
    "server.app",
    "server.__main__",
    "server.app_server",
    "server.let_me_in",
    *(room.module for room in ROOMS),
)
"""What the process holds that the others are forked from."""
NEVER_S = 3600.0


class ForkedServer:
    """What `subprocess.Popen` is to a command; what it prints is added to files."""

    def __init__(self, arguments, variables, out: Path, err: Path | None = None) -> None:
        set_forkserver_preload(list(LOADED))
        self._process = multiprocessing.get_context("forkserver").Process(
            target=_serve,
            args=(list(map(str, arguments)), dict(variables), str(out), str(err or out)),
            daemon=True,
        )
        self._process.start()

    @property
    def pid(self) -> int:
        return self._process.pid

    def poll(self) -> int | None:
        return self._process.exitcode

    def wait(self, timeout: float | None = None) -> int:
        self._process.join(timeout)
        if self._process.exitcode is None:
            raise TimeoutExpired("python -m server", timeout)
        return self._process.exitcode

    def send_signal(self, which: signal.Signals) -> None:
        if self._process.exitcode is None:
            os.kill(self.pid, which)

    def kill(self) -> None:
        self.send_signal(signal.SIGKILL)


def run_forked(arguments, variables, folder: Path) -> CompletedProcess:
    """Run a command of the app to its end; what it says goes through files in a folder."""
    out, err = (folder / f"{name}-{time.monotonic_ns()}" for name in ("out", "err"))
    status = ForkedServer(arguments, variables, out, err).wait()
    told = [path.read_text(encoding="utf-8") for path in (out, err)]
    return CompletedProcess(arguments, status, *told)


def without_ours() -> dict[str, str]:
    """The variables of this process but for those that set the app."""
    ours = {row.variable for row in SETTINGS}
    return {name: value for name, value in os.environ.items() if name not in ours}


def _serve(arguments, variables, out, err) -> None:
    for number, path in ((1, out), (2, err)):
        file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        os.dup2(file, number)
        os.close(file)
    sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stderr = open(2, "w", encoding="utf-8", closefd=False, buffering=1)  # noqa: SIM115
    os.environ.clear()
    os.environ.update(variables)
    paths = variables.get("PYTHONPATH", "").split(os.pathsep)
    sys.path[:0] = [path for path in paths if path and path not in sys.path]
    os.chdir(ROOT)
    sys.argv = ["server"]

    from server import warm_up
    from server.__main__ import main

    # Few tests ask for more than some of the rooms, which each load when they are asked for.
    warm_up.AFTER_S = NEVER_S
    try:
        main(arguments)
    finally:
        sys.stdout.flush()
