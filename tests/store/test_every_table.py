import re
import subprocess
import sys

import pytest

from server.settings import ROOT
from server.store.database import COLUMNS
from server.store.engines.every_table import columns_text

ASK = """
from server.store.engines.every_table import every_table
print(*(table.name for table in every_table()))
"""

# A key leads to its column only where the table that it refers to is loaded as well.
FOLLOW = """
from sqlmodel import SQLModel
print([key.column for each in SQLModel.metadata.tables.values() for key in each.foreign_keys])
"""

TABLES = [
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in sorted((ROOT / "server" / "store").rglob("table*.py"))
]


def in_a_new_process(script):
    """What a script prints; in here other tests have loaded whatever they need."""
    return subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout


@pytest.mark.parametrize("module", TABLES)
def test_the_tables_of_a_room_bring_along_those_that_they_refer_to(module):
    assert in_a_new_process(f"import {module}{FOLLOW}")


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
