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


def test_what_may_leave_no_table_out_knows_all_of_them_without_the_app():
    # In a process of its own: here other tests have loaded whatever they need.
    said = subprocess.run(
        [sys.executable, "-c", ASK], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout
    sources = (path.read_text(encoding="utf-8") for path in (ROOT / "server").rglob("*.py"))
    written = {name for text in sources for name in re.findall(r'__tablename__ = "(\w+)"', text)}
    assert "person" in written
    assert set(said.split()) == written


def test_the_list_that_a_start_holds_a_database_to_names_every_column():
    assert COLUMNS.read_text(encoding="utf-8") == columns_text(), (
        "Write it anew: python -m server.store.migrations"
    )
