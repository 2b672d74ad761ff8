"""What can be said behind `./run`. Standard library and settings alone: help comes first."""

import argparse
from collections.abc import Callable
from pathlib import Path

from server.settings import SETTINGS, Setting

USAGE = """./run [--https] [--port PORT] [--data DIR] [--no-demo] [--open] [--people] [--new]
       ./run --speech [--speech-model DIR]
       ./run fetch-speech [--data DIR] [FOLDER]
       ./run --database ADDRESS --workers N
       ./run [--https] [--port PORT] let-me-in [--data DIR]
       ./run backup [--data DIR] FILE
       ./run restore [--data DIR] FILE
       ./run move-database [--data DIR] FROM TO
       ./run test [pytest arguments]
       ./run lock [--upgrade]
       ./run audit"""
COMMANDS = """commands:
  (none)      install what is missing, then start the app
  let-me-in   print a link that makes one device yours, also while the app runs; with --people
              one that sets the admin's password anew
  fetch-speech  fetch a speech model, once, about 150 MB; then ./run --speech finds the words in
              recordings
  backup      copy everything that is kept to FILE, also while the app runs
  restore     bring FILE back; what is there now is moved aside, not lost
  move-database  copy all rows between SQLite (a data folder) and PostgreSQL (an address)
  test        install what the tests need, a browser included, then run every gate
  lock        write the lock files anew from pyproject.toml (needs uv)
  audit       ask what holes are known in the packages (needs pip-audit or uv, and the internet)
"""


def parser() -> argparse.ArgumentParser:
    """What is asked and told on the command line."""
    where = _place()
    asked = argparse.ArgumentParser(
        prog="./run",
        usage=USAGE,
        description="Ninefifty: rehearse a timed drinks-competition routine.",
        epilog=COMMANDS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        argument_default=argparse.SUPPRESS,
        parents=[where],
    )
    asked.add_argument(
        "--port", type=_read("port"), help=f"{_row('port').help} Default: 8000. (NINEFIFTY_PORT)"
    )
    asked.add_argument(
        "--no-demo",
        dest="demo",
        action="store_false",
        help="Start a new database empty, without the demo. (NINEFIFTY_DEMO=no)",
    )
    for name in ("https", "open", "people", "speech"):
        said = f"{_row(name).help} (NINEFIFTY_{name.upper()}=yes)"
        asked.add_argument(f"--{name}", action="store_true", help=said)
    asked.add_argument(
        "--speech-model",
        metavar="DIR",
        help=f"{_row('speech_model').help} (NINEFIFTY_SPEECH_MODEL)",
    )
    asked.add_argument(
        "--workers",
        type=_read("workers"),
        metavar="N",
        help=f"{_row('workers').help} Default: 1. (NINEFIFTY_WORKERS)",
    )
    asked.add_argument(
        "--new",
        dest="anew",
        action="store_true",
        help="Begin with a new database where the old one is missing or cannot be used.",
    )
    _add_commands(asked, where)
    return asked


def _place() -> argparse.ArgumentParser:
    """Where everything is kept: asked by the start and by every command."""
    where = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    where.add_argument(
        "--data",
        dest="data_dir",
        type=_folder,
        metavar="DIR",
        help="Folder for everything that is kept. Default: ./data. (NINEFIFTY_DATA)",
    )
    where.add_argument(
        "--database",
        type=_read("database"),
        metavar="ADDRESS",
        help=f"{_row('database').help} (NINEFIFTY_DATABASE)",
    )
    return where


def _add_commands(parser: argparse.ArgumentParser, where: argparse.ArgumentParser) -> None:
    commands = parser.add_subparsers(prog="./run", title=argparse.SUPPRESS, help=argparse.SUPPRESS)
    lost = commands.add_parser("let-me-in", parents=[where], argument_default=argparse.SUPPRESS)
    lost.set_defaults(command="let-me-in")
    fetch = commands.add_parser("fetch-speech", parents=[where], argument_default=argparse.SUPPRESS)
    fetch.add_argument(
        "file", nargs="?", type=_folder, default=None, metavar="FOLDER", help="Where it goes."
    )
    fetch.set_defaults(command="fetch-speech")
    for name, what in (
        ("backup", "A file that does not exist yet."),
        ("restore", "A backup, or a database that an older version copied."),
    ):
        each = commands.add_parser(name, parents=[where], argument_default=argparse.SUPPRESS)
        each.add_argument("file", type=Path, metavar="FILE", help=what)
        each.set_defaults(command=name)
    move = commands.add_parser("move-database", parents=[where], argument_default=argparse.SUPPRESS)
    move.add_argument("source", metavar="FROM", help="A data folder, or an address.")
    move.add_argument("target", metavar="TO", help="The same, of a database that is empty.")
    move.set_defaults(command="move-database")


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
