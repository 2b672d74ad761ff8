"""Serving the app: one process, announced when it really answers."""

import gc
import socket
import sys
from contextlib import suppress

from fastapi import FastAPI
from uvicorn import Config, Server

from server.announce import announcement, lan_address
from server.settings import Settings

GRACE_S = 2
"""How long open streams may delay a stop; without a limit they would delay it for ever."""


class AnnouncedServer(Server):
    """A server that says where it can be opened as soon as it can be."""

    def __init__(self, app: FastAPI, config: Config, settings: Settings) -> None:
        super().__init__(config)
        self._app = app
        self._settings = settings

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start to answer; then announce the addresses."""
        await super().startup(sockets)
        # What is loaded by now stays for good. Searching it for garbage is what makes a page
        # late now and then.
        gc.collect()
        gc.freeze()
        port = sockets[0].getsockname()[1] if sockets else self._settings.port
        colour = sys.stdout.isatty()
        print(announcement(self._settings, port, lan_address(), colour=colour), flush=True)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End the live streams, which would not end by themselves; then all else."""
        live = getattr(self._app.state, "live", None)
        if live is not None:
            live.close()
        await super().shutdown(sockets)


def run(app: FastAPI, settings: Settings, listener: socket.socket) -> None:
    """Serve on a listening socket until a signal stops it."""
    config = Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=GRACE_S,
    )
    with suppress(KeyboardInterrupt):
        AnnouncedServer(app, config, settings).run(sockets=[listener])
