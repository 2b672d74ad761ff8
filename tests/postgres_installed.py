"""PostgreSQL's programs, installed where that is ours to do: the tests start their own server."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from server.bootstrap import Run, apt_install, succeeds

DEBIAN_POSTGRES = Path("/usr/lib/postgresql")
CLUSTER_SETTINGS = Path("/etc/postgresql-common/createcluster.conf")


def provide_postgres(run: Run = succeeds) -> bool:
    """Whether PostgreSQL's programs are here, installed first where that is ours to do.

    The package would also set up a server that starts with the machine: the tests start their own.
    """
    if has_postgres():
        return True
    if apt_install("postgresql-common", run):
        with replaced(CLUSTER_SETTINGS, "create_main_cluster = false\n"):
            apt_install("postgresql", run)
    if has_postgres():
        return True
    print(
        "PostgreSQL is not installed, so nothing is tested on it. Install it:\n"
        "    Debian, Ubuntu: sudo apt-get install -y postgresql\n"
        "    macOS:          brew install postgresql",
        flush=True,
    )
    return False


def has_postgres() -> bool:
    """Whether PostgreSQL's programs are on this machine; Debian keeps them off the path."""
    return any(DEBIAN_POSTGRES.glob("*/bin/initdb")) or shutil.which("initdb") is not None


@contextmanager
def replaced(file: Path, content: str) -> Iterator[None]:
    """Within this block a file of the system has another content, if it can be written."""
    before = file.read_text() if file.exists() else None
    try:
        if before is not None:
            file.write_text(content)
        yield
    finally:
        if before is not None:
            file.write_text(before)
