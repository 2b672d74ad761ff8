"""Pages with thousands of routines in one database, against the same pages with a few.

The few are as many as the list of routines shows at a time: so both draw the same.
"""

import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

from server.settings import DATABASE_NAME
from server.web.routines.pages import LISTED
from tests.bench.figures import Figure
from tests.bench.load import get, in_turns, load
from tests.bench.rehearsed import ROUTINE_ID, rehearse
from tests.real_server import RealServer

RUNS_EACH, SEGMENTS = 20, 12
MANY = 10_000
PLACES = ("", "plan", "runs?show={n}", "drift", "rehearse", "details", "tastings", "script")
PAGES = ("/?at={n}", "/deleted", "/rules", *(f"/routines/{ROUTINE_ID}/{each}" for each in PLACES))


def measure(quick: bool) -> Iterator[Figure]:
    routines, requests = (MANY // 10, 8) if quick else (MANY, 32)
    with tempfile.TemporaryDirectory() as name:
        many, few = (
            RealServer(_filled(Path(name) / str(count), count), demo=False)
            for count in (routines, LISTED)
        )
        try:
            many.start()
            few.start()
            yield Figure("runs in the database", routines * RUNS_EACH, "", LISTED * RUNS_EACH)
            for page in PAGES:
                yield _page(page.rstrip("/") or "/", many.port, few.port, requests)
        finally:
            many.stop()
            few.stop()


def _page(page: str, many: int, few: int, requests: int) -> Figure:
    asked = [[get(page.format(n=n)) for n in range(requests)]]
    slow, quick = in_turns(lambda: load(many, asked), lambda: load(few, asked))
    aim = "at most 1.3"
    return Figure(page.replace(ROUTINE_ID, "…"), slow.at(50), "ms", quick.at(50), aim)


def _filled(folder: Path, routines: int) -> Path:
    """A data folder with so many routines, each rehearsed as often as the first."""
    rehearse(folder, RUNS_EACH, SEGMENTS)
    file = sqlite3.connect(folder / DATABASE_NAME)
    numbers = ((number,) for number in range(1, routines))
    file.execute("CREATE TEMP TABLE copied (n INTEGER)")
    file.executemany("INSERT INTO copied VALUES (?)", numbers)
    _copy(file, "routine", id="'r' || copied.n", position="copied.n")
    _copy(
        file,
        "revision",
        routine_id="'r' || copied.n",
        document=f'replace(document, \'"id":"{ROUTINE_ID}"\', \'"id":"r\' || copied.n || \'"\')',
    )
    _copy(file, "run", id="id || '-' || copied.n", routine_id="'r' || copied.n")
    _copy(file, "event", rev="NULL", run_id="run_id || '-' || copied.n", id="id || '-' || copied.n")
    file.commit()
    file.close()
    return folder


def _copy(file: sqlite3.Connection, table: str, **changed: str) -> None:
    """Put each row in once more for each number, with these columns changed."""
    columns = [row[1] for row in file.execute(f"PRAGMA table_info({table})")]
    chosen = ", ".join(changed.get(column, column) for column in columns)
    few = " WHERE rev % 15 < 3" if table == "event" else ""
    file.execute(f"INSERT INTO {table} SELECT {chosen} FROM copied, {table}{few}")
