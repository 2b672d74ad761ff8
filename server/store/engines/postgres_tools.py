"""PostgreSQL's own tools: a database to one file, and back."""

import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from sqlalchemy import URL

from server.store.engines.kind import CopyFailed

DEBIAN = Path("/usr/lib/postgresql")
_SAID = 300
"""Characters of what a tool says that are told on."""


def dump_to(address: URL, target: Path) -> None:
    """Write one state of a database to a file in pg_dump's own form. Raises CopyFailed."""
    unfinished = target.with_name(f"{target.name}.{os.getpid()}")
    options = ["--format=custom", "--no-owner", "--no-privileges", f"--file={unfinished}"]
    try:
        _run("pg_dump", options, address)
        unfinished.replace(target)
    finally:
        unfinished.unlink(missing_ok=True)


def restore_from(address: URL, source: Path) -> None:
    """Put the tables of a dump in the place of those that are there: all of it, or nothing.

    Raises CopyFailed.
    """
    options = ["--clean", "--if-exists", "--no-owner", "--no-privileges", "--single-transaction"]
    _run("pg_restore", [*options, "--exit-on-error", str(source)], address)


def read_through(source: Path) -> None:
    """Read a dump to its end, and do nothing with it. Raises CopyFailed."""
    _run("pg_restore", ["--file=/dev/null", str(source)], None)


def tool(name: str) -> str:
    """Path of one of the tools; Debian keeps them by version, the newest is taken.

    Raises CopyFailed.
    """
    by_version = sorted(DEBIAN.glob(f"*/bin/{name}"), key=lambda path: _version(path.parts[-3]))
    found = str(by_version[-1]) if by_version else shutil.which(name)
    if found is None:
        raise CopyFailed(
            f"{name} is missing on this machine. It comes with PostgreSQL’s own tools "
            "(Debian: apt-get install postgresql-client) and must be as new as the server."
        )
    return found


def _version(text: str) -> int:
    return int(text) if text.isdecimal() else 0


def _run(name: str, options: Sequence[str], address: URL | None) -> None:
    environment, where = dict(os.environ), []
    if address is not None:
        plain = address.set(drivername="postgresql", password=None)
        where = [f"--dbname={plain.render_as_string()}"]
        if address.password:
            # Not on the command line, which all users of the machine can read.
            environment["PGPASSWORD"] = str(address.password)
    done = subprocess.run(  # noqa: S603
        [tool(name), "--no-password", *where, *options] if address else [tool(name), *options],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        said = " ".join(done.stderr.split())[:_SAID] or f"it ended with {done.returncode}"
        raise CopyFailed(f"{name} failed: {said}")
