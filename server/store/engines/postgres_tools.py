"""PostgreSQL's own tools: a database to one file, and back."""

import os
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path

from sqlalchemy import URL

from server.store.engines.kind import CopyFailed

DEBIAN = Path("/usr/lib/postgresql")
_AS_OURS = ("--no-owner", "--no-privileges")
"""Whoever brings it back need not have the same name."""

_SAID = 300
"""Characters of what a tool says that are told on."""


def dump_to(address: URL, target: Path) -> None:
    """Write one state of a database to a file in pg_dump's own form. Raises CopyFailed."""
    unfinished = target.with_name(f"{target.name}.{os.getpid()}")
    options = ["--format=custom", *_AS_OURS, f"--file={unfinished}"]
    try:
        _run("pg_dump", options, address)
        unfinished.replace(target)
    finally:
        unfinished.unlink(missing_ok=True)


def restore_from(address: URL, source: Path, tables: Sequence[str]) -> None:
    """Put what a dump holds in the place of these tables: all of it, or nothing.

    Raises CopyFailed.
    """
    script = source.with_name(f"{source.name}.sql")
    drop = f"DROP TABLE IF EXISTS {', '.join(tables)} CASCADE"
    try:
        # What a later version added is in no dump of this one, and has to go with the rest.
        with script.open("wb") as writing:
            writing.writelines(_for_any_version(script_of(source, *_AS_OURS)))
        whole = ["--single-transaction", "--set=ON_ERROR_STOP=1", "--quiet", "--no-psqlrc"]
        _run("psql", [*whole, f"--command={drop}", f"--file={script}"], address)
    finally:
        script.unlink(missing_ok=True)


def read_through(source: Path) -> None:
    """Read a dump to its end, and do nothing with it. Raises CopyFailed."""
    _run("pg_restore", ["--file=/dev/null", str(source)], None)


def script_of(source: Path, *options: str) -> Iterator[bytes]:
    """The statements in a dump, line by line. Raises CopyFailed."""
    command = [tool("pg_restore"), "--file=-", *options, str(source)]
    with subprocess.Popen(  # noqa: S603
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as reading:
        assert reading.stdout is not None  # noqa: S101
        yield from reading.stdout
    if reading.returncode:
        raise CopyFailed(f"{source} cannot be read as a copy of a PostgreSQL database")


def _for_any_version(lines: Iterator[bytes]) -> Iterator[bytes]:
    """Without what version 17 of the tools sets, which no server before it knows."""
    return (line for line in lines if not line.startswith(b"SET transaction_timeout"))


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
