"""Several workers on one port: each a process of its own, begun anew when it dies.

uvicorn looks after them. They hear of each other through the database alone, so workers on other
ports and machines, behind a proxy, are no different.
"""

import os
import signal
import socket
import sys
from collections.abc import Callable
from multiprocessing import connection, parent_process
from threading import Thread

from uvicorn import Config
from uvicorn.config import STARTUP_FAILURE
from uvicorn.supervisors import Multiprocess

from server.settings import Settings

SLOWEST_START_S = 60
"""A worker that says nothing for so long is ended, and another begun."""


class Workers(Multiprocess):
    """Looks after the workers, and says where they can be reached once one of them answers."""

    def __init__(
        self, config: Config, listener: socket.socket, announce: Callable[[], None]
    ) -> None:
        super().__init__(config, [listener])
        self._announce: Callable[[], None] | None = announce

    def init_processes(self) -> None:
        """Begin the first of them."""
        super().init_processes()
        self._let_pipes_end()

    def keep_subprocess_alive(self) -> None:
        """Begin those anew that died; the first time that one answers, say so."""
        super().keep_subprocess_alive()
        self._let_pipes_end()
        if self._announce is not None and any(each.is_ready(1) for each in self.processes):
            self._announce()
            self._announce = None

    def _let_pipes_end(self) -> None:
        # While the worker's end is open here too, its pipe does not end with it: one killed as it
        # was asked would be waited for as long as one that starts, and no signal heard meanwhile.
        for each in self.processes:
            each.child_conn.close()

    @property
    def could_not_start(self) -> bool:
        """Whether it ended because a worker could not begin."""
        return any(each.exitcode == STARTUP_FAILURE for each in self.processes)


def end_with_parent() -> None:
    """Stop this worker once the process that looks after it is gone, however that ended.

    It would answer on for ever otherwise, and keep the port from the next start.
    """
    parent = parent_process()
    if parent is not None:
        Thread(target=_wait_for_end, args=(parent.sentinel,), name="parent", daemon=True).start()


def _wait_for_end(sentinel: int) -> None:
    connection.wait([sentinel])
    os.kill(os.getpid(), signal.SIGTERM)


def require_one_database(settings: Settings) -> None:
    """Leave with a sentence where several workers would not hear of each other."""
    if settings.workers > 1 and not settings.database:
        sys.exit(
            f"NINEFIFTY_WORKERS is “{settings.workers}”: several workers need PostgreSQL, see "
            "NINEFIFTY_DATABASE. SQLite is for one."
        )
    if settings.workers > 1 and settings.https:
        sys.exit(
            f"NINEFIFTY_WORKERS is “{settings.workers}”: one worker alone can serve https. Leave "
            "--https away, and put a proxy that serves it before them."
        )


def look_after(config: Config, listener: socket.socket, announce: Callable[[], None]) -> None:
    """Run the workers until a signal stops them; leaves with a sentence if none can begin."""
    config.timeout_worker_healthcheck = SLOWEST_START_S
    workers = Workers(config, listener, announce)
    workers.run()
    if workers.could_not_start:
        sys.exit("The workers could not start: the lines above say why.")
