import re
import subprocess
import sys

from server.settings import ROOT
from server.store.database import COLUMNS
from server.store.engines.every_table import columns_text

ASK = """
from server.store.engines.every_table import every_table
print(*(table.name for table in every_table()))
"""

# A key leads to its column only where the table that it refers to is loaded as well: each room's
# tables are loaded in a process of their own. That is forked from one that holds what all of them
# stand on, and none of ours.
FOLLOW = """
import os, sys, traceback
from importlib import import_module
from sqlmodel import SQLModel

for module in sys.argv[1:]:
    assert not [name for name in sys.modules if name.startswith("server")]
    process = os.fork()
    if process:
        os.waitpid(process, 0)
        continue
    try:
        import_module(module)
        tables = SQLModel.metadata.tables.values()
        columns = [key.column for each in tables for key in each.foreign_keys]
        print(module, len(tables), flush=True)
    except Exception:
        traceback.print_exc()
    os._exit(0)
"""

TABLES = [
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in sorted((ROOT / "server" / "store").rglob("table*.py"))
]


def in_a_new_process(script, *arguments):
    """What a script prints; in here other tests have loaded whatever they need."""
    said = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return said.stdout + said.stderr


def test_the_tables_of_a_room_bring_along_those_that_they_refer_to():
    said = in_a_new_process(FOLLOW, *TABLES)
    followed = [line.split() for line in said.splitlines()]
    assert [name for name, *_ in followed] == TABLES, said
    assert all(int(tables) for _, tables in followed)


def test_what_may_leave_no_table_out_knows_all_of_them_without_the_app():
    said = in_a_new_process(ASK)
    sources = (path.read_text(encoding="utf-8") for path in (ROOT / "server").rglob("*.py"))
    written = {name for text in sources for name in re.findall(r'__tablename__ = "(\w+)"', text)}
    assert "person" in written
    assert set(said.split()) == written


def test_the_list_that_a_start_holds_a_database_to_names_every_column():
    assert COLUMNS.read_text(encoding="utf-8") == columns_text(), (
        "Write it anew: python -m server.store.migrations"
    )
