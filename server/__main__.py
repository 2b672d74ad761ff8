"""`python -m server`, or `./run`: reads the settings, then starts the app or does what is asked."""

import errno
import gc
import os
import secrets
import socket
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from server.arguments import parser
from server.demands import misspelt, require_together
from server.domain.base.errors import InvalidInput
from server.logs import set_up_logs
from server.settings import Settings, read_settings

if TYPE_CHECKING:
    from fastapi import FastAPI

    from server.https.renewing import Keeper
    from server.keeping.one_server import FolderHold
    from server.store.database import Database


def main(arguments: Sequence[str] | None = None) -> None:
    """Do what the command line says. Leaves with a sentence where that cannot be done."""
    options = vars(parser().parse_args(arguments))
    command, file = options.pop("command", None), options.pop("file", None)
    source, target = options.pop("source", ""), options.pop("target", "")
    anew = options.pop("anew", False)
    try:
        settings = replace(read_settings(os.environ), **options)
    except InvalidInput as error:
        sys.exit("\n".join(fault.message for fault in error.faults))
    require_together(settings)
    for said in misspelt(os.environ):
        print(said, file=sys.stderr, flush=True)
    # Looking through what is loaded again and again took a fifth of the start (see `_serve`).
    if command is None:
        gc.disable()
    # Imported here and below: help and faults in the settings are answered at once, help before
    # anything is installed, and the start does not wait for what the commands need.
    from server.keeping.trouble import Trouble

    try:
        match command:
            case "let-me-in":
                from server.let_me_in import let_me_in

                let_me_in(settings)
            case "fetch-speech":
                from server.hearing.fetching import fetch_model

                fetch_model(file or Path(replace(settings, speech=True).speech_folder))
            case "backup" | "restore":
                from server.keeping import commands

                (commands.back_up if command == "backup" else commands.bring_back)(settings, file)
            case "move-database":
                from server.keeping.moving import move_database

                move_database(settings, source, target)
            case _:
                serve(settings, anew)
    except Trouble as trouble:
        sys.exit(str(trouble))


def serve(settings: Settings, anew: bool = False) -> None:
    """Serve until stopped; `anew` over a new database where none can be used. Raises Trouble."""
    from server.bytecode import compile_before
    from server.keeping.damage import begin_anew, require_usable
    from server.keeping.file_store import require_file_store
    from server.keeping.one_server import alone_with
    from server.keeping.private import keep_private

    compile_before()
    if settings.workers > 1:
        from server.several import require_one_database

        require_one_database(settings)
    require_file_store(settings)
    keep_private(settings.data_dir)
    _require_folder(settings.data_dir)
    with alone_with(settings.data_dir, with_others=bool(settings.database)) as hold:
        if anew and (aside := begin_anew(settings, datetime.now())):
            print(f"What was there before is kept in {aside}.", flush=True)
        if not anew and not settings.database:
            require_usable(settings)
        _serve(settings, hold)


def _serve(settings: Settings, hold: "FolderHold") -> None:
    listener = listen(settings.host, settings.port)
    # One person's pages gain nothing from more threads in numpy, and lose time to them.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

    set_up_logs(settings.log)

    create_app = _app_maker()
    from server.announce import local_url
    from server.app_server import run
    from server.keeping.opening import open_database

    gc.freeze()
    gc.enable()
    if settings.workers > 1:
        hold.say_where(local_url(settings, listener.getsockname()[1]))
        _serve_with_others(settings, listener)
        return
    door, keeper = _https(settings) if settings.https else (None, None)
    app = create_app(settings, open_database(settings))
    port, scheme = (door or listener).getsockname()[1], "https" if door else "http"
    hold.say_where(local_url(settings, port, scheme))
    run(app, settings, listener, door, keeper)


def _serve_with_others(settings: Settings, listener: socket.socket) -> None:
    # By its full name: a new process cannot find what stands in a module called "__main__".
    from server.__main__ import worker_app
    from server.app_server import config_of, say
    from server.keeping.opening import open_database
    from server.several import look_after

    # What is wrong with the database is told once, before any worker begins.
    open_database(settings).close()
    secret = secrets.token_urlsafe(16)
    config = config_of(partial(worker_app, settings, secret), settings.workers)
    port = listener.getsockname()[1]
    look_after(config, listener, partial(say, settings, port, secret))


def worker_app(settings: Settings, secret: str) -> "FastAPI":
    """The app of one worker; `secret` is that of the link which is printed for all of them."""
    from server.keeping.opening import open_database
    from server.several import end_with_parent

    end_with_parent()
    set_up_logs(settings.log)
    app = _app_maker()(settings, open_database(settings))
    app.state.door.link_secret = secret
    gc.freeze()  # As in `AnnouncedServer.startup`.
    return app


def _app_maker() -> "Callable[[Settings, Database], FastAPI]":
    """What makes the app; called before anything else loads FastAPI."""
    from server.unbuilt import unbuilt

    with unbuilt():
        from server.app import create_app

    return create_app


def _https(settings: Settings) -> "tuple[socket.socket, Keeper]":
    """A socket for https and the keeper of its certificate; leaves with a sentence."""
    from server.https.folder import CertificateTrouble
    from server.https.renewing import Keeper

    door = listen(settings.host, settings.https_port, "NINEFIFTY_HTTPS_PORT=8444 ./run --https")
    try:
        return door, Keeper(settings)
    except CertificateTrouble as trouble:
        sys.exit(str(trouble))
    except OSError as error:
        sys.exit(f"{settings.certificate_folder} cannot be used: {error.strerror}.")


def listen(host: str, port: int, another: str = "./run --port 8001") -> socket.socket:
    """A socket that listens there; leaves with a sentence where the system refuses."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    both = host == "::" and socket.has_dualstack_ipv6()
    try:
        return socket.create_server((host, port), family=family, backlog=512, dualstack_ipv6=both)
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            sys.exit(
                f"Port {port} is taken by another program. Choose another one, such as: {another}"
            )
        if error.errno == errno.EACCES:
            sys.exit(f"Port {port} is kept for the system. Choose one above 1023.")
        sys.exit(f"NINEFIFTY_HOST is “{host}”: this machine has no such address.")


def _require_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        sys.exit(f"NINEFIFTY_DATA is “{folder}”: {error.strerror}.")
    if not os.access(folder, os.W_OK):
        sys.exit(f"NINEFIFTY_DATA is “{folder}”: nothing may be written there.")


if __name__ == "__main__":
    main()
