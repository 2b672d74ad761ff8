"""Serving the app: one process, announced when it really answers, over http and perhaps https."""

import asyncio
import gc
import logging
import socket
import sys
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from fastapi import FastAPI
from uvicorn import Config, Server

from server.announce import Trust, announcement, lan_address
from server.patience import Patience, PatientProtocol, raise_limit_of_files
from server.settings import Settings

if TYPE_CHECKING:
    from server.https.renewing import Keeper
    from server.web.frame.door import Door

_log = logging.getLogger(__name__)

GRACE_S = 2
"""How long open streams may delay a stop; without a limit they would delay it for ever."""

LOOK_AT_CERTIFICATE_EVERY_S = 60
"""The certificate follows the machine's address, which a network may change at any time."""


class AnnouncedServer(Server):
    """A server that says where it can be opened as soon as it can be."""

    def __init__(self, app: FastAPI, config: Config, settings: Settings) -> None:
        super().__init__(config)
        self._state = app.state
        self._settings = settings

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start to answer; then announce the addresses."""
        await super().startup(sockets)
        # What is loaded by now stays for good. Searching it for garbage is what makes a page
        # late now and then. There is next to no garbage in it: nothing is collected before.
        gc.freeze()
        port = sockets[0].getsockname()[1] if sockets else self._settings.port
        await self.announce(port)

    async def announce(self, port: int) -> None:
        """Say where the app can be opened."""
        self.say(port, None)

    def say(self, port: int, trust: Trust | None) -> None:
        """Print the announcement of what a port serves."""
        say(self._settings, port, self._secret(), trust)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End the live streams, which would not end by themselves; then all else."""
        live = getattr(self._state, "live", None)
        if live is not None:
            live.close()
        await super().shutdown(sockets)

    def _secret(self) -> str:
        """What the printed link carries: nothing where people sign in."""
        door: Door = self._state.door
        return "" if door.has_people(self._state.database) else door.link_secret


class TwoDoorServer(AnnouncedServer):
    """A server that answers over https beside http, under a certificate that it keeps fit."""

    def __init__(
        self,
        app: FastAPI,
        config: Config,
        settings: Settings,
        door: socket.socket,
        keeper: "Keeper",
    ) -> None:
        super().__init__(app, config, settings)
        self._door = door
        self._keeper = keeper
        self._looking: asyncio.Task[None] | None = None

    async def announce(self, port: int) -> None:
        """Open the second door, then say where both are."""
        await self._open()
        self._looking = asyncio.create_task(self._look_now_and_then())
        trust = Trust(port, self._keeper.fingerprint, self._keeper.uncovered)
        self.say(self._door.getsockname()[1], trust)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Close both doors."""
        if self._looking is not None:
            self._looking.cancel()
        self._door.close()
        await super().shutdown(sockets)

    async def _open(self) -> None:
        config = _config(
            self.config.app,
            http=self.config.http,
            lifespan="off",
            ssl_context_factory=lambda *_: self._keeper.context,
        )
        config.load()
        beside = Server(config)
        beside.lifespan = config.lifespan_class(config)
        # One count of connections and tasks for both, so that a stop waits for all of them.
        beside.server_state = self.server_state
        await beside.startup([self._door])
        self.servers += beside.servers

    async def _look_now_and_then(self) -> None:
        while True:
            await asyncio.sleep(LOOK_AT_CERTIFICATE_EVERY_S)
            try:
                await asyncio.to_thread(self._keeper.look)
            except Exception:
                # The certificate that is in use stays; the next look may go better.
                _log.exception("The certificate could not be renewed.")


def run(
    app: FastAPI,
    settings: Settings,
    listener: socket.socket,
    door: socket.socket | None = None,
    keeper: "Keeper | None" = None,
) -> None:
    """Serve on a listening socket until a signal stops it; over https at `door` if there is one."""
    raise_limit_of_files(Patience())
    with suppress(KeyboardInterrupt):
        server_of(app, settings, door, keeper).run(sockets=[listener])


def config_of(make: Callable[[], FastAPI], workers: int) -> Config:
    """What several workers serve, each the app that `make` makes in its own process."""
    raise_limit_of_files(Patience())  # The workers inherit it.
    http = partial(PatientProtocol, patience=Patience())
    return _config(make, http=http, factory=True, workers=workers)


def say(settings: Settings, port: int, secret: str, trust: Trust | None = None) -> None:
    """Print where the app can be opened that a port serves."""
    colour = sys.stdout.isatty()
    text = announcement(settings, port, lan_address(), colour=colour, trust=trust, secret=secret)
    print(text, flush=True)


def server_of(
    app: FastAPI,
    settings: Settings,
    door: socket.socket | None = None,
    keeper: "Keeper | None" = None,
    patience: Patience = Patience(),  # noqa: B008
) -> AnnouncedServer:
    """The server of the app; over https at `door` as well, if there is one."""
    config = _config(app, http=partial(PatientProtocol, patience=patience))
    if door is None or keeper is None:
        return AnnouncedServer(app, config, settings)
    app.state.https_port = door.getsockname()[1]
    return TwoDoorServer(app, config, settings, door, keeper)


def _config(app: object, **more: object) -> Config:
    return Config(
        app,  # type: ignore[arg-type]
        log_level="warning",
        log_config=None,  # server/logs.py writes for all.
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=GRACE_S,
        **more,  # type: ignore[arg-type]
    )
