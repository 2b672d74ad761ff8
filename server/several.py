"""Several workers on one port: each a process of its own, begun anew when it dies.

uvicorn looks after them. They hear of each other through the database alone, so workers on other
ports and machines, behind a proxy, are no different.
"""

import socket
import sys
from collections.abc import Callable

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

    def keep_subprocess_alive(self) -> None:
        """Begin those anew that died; the first time that one answers, say so."""
        super().keep_subprocess_alive()
        if self._announce is not None and any(each.is_ready(1) for each in self.processes):
            self._announce()
            self._announce = None

    @property
    def could_not_start(self) -> bool:
        """Whether it ended because a worker could not begin."""
        return any(each.exitcode == STARTUP_FAILURE for each in self.processes)


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
