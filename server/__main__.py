"""`python -m server`, or `./run`: reads the settings, then starts the app or backs it up."""

import argparse
import errno
import os
import socket
import sqlite3
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from server.domain.base.errors import InvalidInput
from server.settings import SETTINGS, Setting, Settings, read_settings

if TYPE_CHECKING:
    from server.https.keeper import Keeper

USAGE = """./run [--https] [--port PORT] [--data DIR] [--no-demo] [--open]
       ./run [--https] [--port PORT] let-me-in [--data DIR]
       ./run backup [--data DIR] FILE
       ./run test [pytest arguments]
       ./run lock [--upgrade]"""
COMMANDS = """commands:
  (none)      install what is missing, then start the app
  let-me-in   print a link that makes one device yours, also while the app runs
  backup      copy the database to FILE, also while the app runs
  test        install what the tests need, a browser included, then run every gate
  lock        write the lock files anew from pyproject.toml (needs uv)
"""


def main(arguments: Sequence[str] | None = None) -> None:
    """Do what the command line says. Leaves with a sentence where that cannot be done."""
    options = vars(_parser().parse_args(arguments))
    target, is_invited = options.pop("file", None), options.pop("let_me_in", False)
    try:
        settings = replace(read_settings(os.environ), **options)
    except InvalidInput as error:
        sys.exit("\n".join(fault.message for fault in error.faults))
    if is_invited:
        let_me_in(settings)
    elif target is None:
        serve(settings)
    else:
        back_up(settings, target)


def serve(settings: Settings) -> None:
    """Serve the app until it is stopped."""
    _require_folder(settings.data_dir)
    listener = listen(settings.host, settings.port)
    # One person's pages gain nothing from more threads in numpy, and lose time to them.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

    # Imported here, so that help and faults in the settings are answered at once.
    from server.app import create_app
    from server.serving import run

    door, keeper = _https(settings) if settings.https else (None, None)
    run(create_app(settings), settings, listener, door, keeper)


def _https(settings: Settings) -> "tuple[socket.socket, Keeper]":
    """A socket for https and the keeper of its certificate; leaves with a sentence."""
    from server.https.folder import CertificateTrouble
    from server.https.keeper import Keeper

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
                f"Port {port} is taken, perhaps by a Ninefifty that runs already. "
                f"Choose another one, such as: {another}"
            )
        if error.errno == errno.EACCES:
            sys.exit(f"Port {port} is kept for the system. Choose one above 1023.")
        sys.exit(f"NINEFIFTY_HOST is “{host}”: this machine has no such address.")


def let_me_in(settings: Settings) -> None:
    """Print a link that lets one device in; the app may run meanwhile, under the same settings."""
    file = settings.database_file
    if not file.exists():
        sys.exit(f"There is nothing to be let in to: {file} does not exist. Start the app first.")

    from server.announce import invitation, lan_address
    from server.store.database import Database
    from server.store.devices import invite

    database = Database(file)
    try:
        database.migrate()
        with database.writing() as session:
            secret = invite(session, "mine", time.time_ns() // 1_000_000)
    except sqlite3.Error as error:
        sys.exit(f"{file} cannot be written: {error}.")
    finally:
        database.close()
    print(invitation(settings, secret, lan_address(), colour=sys.stdout.isatty()))


def back_up(settings: Settings, target: Path) -> None:
    """Copy the database to a new file; the app may run meanwhile."""
    source = settings.database_file
    if not source.exists():
        sys.exit(f"There is nothing to back up: {source} does not exist.")
    if target.exists():
        sys.exit(f"{target} exists already, and a backup replaces nothing. Choose another name.")

    from server.store.database import Database

    unfinished = target.with_name(target.name + ".unfinished")
    try:
        unfinished.touch()
        Database(source).backup(unfinished)
        unfinished.replace(target)
    except OSError as error:
        sys.exit(f"{target} cannot be written: {error.strerror}.")
    except sqlite3.Error as error:
        sys.exit(f"{source} cannot be copied: {error}.")
    print(f"Backed up {source} to {target}.")
    recordings = settings.recordings_folder
    if recordings.is_dir() and any(recordings.iterdir()):
        print(f"Recordings are not in it: copy the folder {recordings} as well.")


def _require_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        sys.exit(f"NINEFIFTY_DATA is “{folder}”: {error.strerror}.")
    if not os.access(folder, os.W_OK):
        sys.exit(f"NINEFIFTY_DATA is “{folder}”: nothing may be written there.")


def _parser() -> argparse.ArgumentParser:
    where = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    where.add_argument(
        "--data",
        dest="data_dir",
        type=_folder,
        metavar="DIR",
        help="Folder for everything that is kept. Default: ./data. (NINEFIFTY_DATA)",
    )
    parser = argparse.ArgumentParser(
        prog="./run",
        usage=USAGE,
        description="Ninefifty: rehearse a timed drinks-competition routine.",
        epilog=COMMANDS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        argument_default=argparse.SUPPRESS,
        parents=[where],
    )
    parser.add_argument(
        "--port", type=_read("port"), help=f"{_row('port').help} Default: 8000. (NINEFIFTY_PORT)"
    )
    parser.add_argument(
        "--no-demo",
        dest="demo",
        action="store_false",
        help="Start a new database empty, without the demo. (NINEFIFTY_DEMO=no)",
    )
    parser.add_argument(
        "--https",
        action="store_true",
        help=f"{_row('https').help} (NINEFIFTY_HTTPS=yes)",
    )
    parser.add_argument(
        "--open",
        action="store_true",
        help=f"{_row('open').help} (NINEFIFTY_OPEN=yes)",
    )
    commands = parser.add_subparsers(title=argparse.SUPPRESS, help=argparse.SUPPRESS)
    lost = commands.add_parser("let-me-in", parents=[where], argument_default=argparse.SUPPRESS)
    lost.set_defaults(let_me_in=True)
    backup = commands.add_parser("backup", parents=[where], argument_default=argparse.SUPPRESS)
    backup.add_argument("file", type=Path, metavar="FILE", help="A file that does not exist yet.")
    return parser


def _folder(text: str) -> Path:
    return Path(text).expanduser().absolute()


def _row(name: str) -> Setting:
    return next(row for row in SETTINGS if row.name == name)


def _read(name: str) -> Callable[[str], object]:
    def read(text: str) -> object:
        try:
            return _row(name).read(text)
        except ValueError as error:
            raise argparse.ArgumentTypeError(f"“{text}”: {error}") from error

    return read


if __name__ == "__main__":
    main()
