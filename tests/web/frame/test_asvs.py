"""The table of OWASP ASVS 5.0, level 1: whole, and the tests it names are there; what none says."""

import ast
import re
import sys

from server.hearing.keeper import COMMAND
from server.settings import ROOT
from tests.parsed import tree
from tests.table import table
from tests.test_architecture import SERVER, imports, modules, name_of

# The standard's own list, 5.0.0.
LEVEL_1 = re.findall(
    r"\S+",
    """
    1.2.1 1.2.2 1.2.3 1.2.4 1.2.5 1.3.1 1.3.2 1.5.1 2.1.1 2.2.1 2.2.2 2.3.1 3.2.1 3.2.2 3.3.1
    3.4.1 3.4.2 3.5.1 3.5.2 3.5.3 4.1.1 4.4.1 5.2.1 5.2.2 5.3.1 5.3.2 6.1.1 6.2.1 6.2.2 6.2.3
    6.2.4 6.2.5 6.2.6 6.2.7 6.2.8 6.3.1 6.3.2 6.4.1 6.4.2 7.2.1 7.2.2 7.2.3 7.2.4 7.4.1 7.4.2
    8.1.1 8.2.1 8.2.2 8.3.1 9.1.1 9.1.2 9.1.3 9.2.1 10.4.1 10.4.2 10.4.3 10.4.4 10.4.5 11.3.1
    11.3.2 11.4.1 12.1.1 12.2.1 12.2.2 13.4.1 14.2.1 14.3.1 15.1.1 15.2.1 15.3.1
    """,
)

ROWS = re.findall(
    r"^\| (\d+\.\d+\.\d+) \| .+? \| (Kept|Not here|Otherwise|Open) \| (.+) \|$",
    (ROOT / "server" / "ASVS.md").read_text(encoding="utf-8"),
    re.MULTILINE,
)
NAMED = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")


def test_every_point_of_level_1_has_a_row():
    assert [point for point, _, _ in ROWS] == LEVEL_1


@table("point, state, by", ROWS, ids=lambda text: text[:30])
def test_the_tests_that_a_point_is_kept_by_are_there(point, state, by):
    missing = [
        name
        for path, name in NAMED.findall(by)
        if f"def {name}(" not in (ROOT / path).read_text(encoding="utf-8")
    ]
    assert missing == []
    assert state != "Kept" or NAMED.search(by) or point == "15.1.1"


BESIDE_THE_APP = ("server/bootstrap.py", "server/audit.py")
OURS = [path for path in modules() if name_of(path) not in BESIDE_THE_APP]


LISTENS = "server/hearing/keeper.py"
COPIES = "server/store/engines/postgres_tools.py"
COMPILES = "server/bytecode.py"


def test_the_app_runs_no_command_and_no_text():
    runs = {"subprocess", "pickle", "marshal", "shelve", "xml", "lxml", "os.system", "os.popen"}
    found = {name_of(path): imports(path) & runs for path in OURS if imports(path) & runs}
    # It starts a module of its own and PostgreSQL's tools, which no text from outside names; and
    # before it starts it compiles its own modules, as Python would.
    assert found == {LISTENS: {"subprocess"}, COPIES: {"subprocess"}, COMPILES: {"marshal"}}
    assert (sys.executable, "-m", "server.hearing") == COMMAND
    for starts in (LISTENS, COPIES):
        assert "shell=" not in (ROOT / starts).read_text(encoding="utf-8")
    called = {
        f"{name_of(path)}: {node.func.id}"
        for path in OURS
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        if node.func.id in ("eval", "exec", "compile", "__import__")
    }
    assert called == {f"{COMPILES}: compile"}


def test_no_statement_is_put_together_from_what_comes_in():
    # A pragma takes no values apart; those of ours are written beside it.
    written = re.compile(r"(execute|exec_driver_sql|text)\(\s*f?[\"'](?!PRAGMA).*\{")
    found = [
        name_of(path)
        for path in modules(SERVER / "store")
        if "migrations" not in path.parts and written.search(path.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_only_sha_256_is_used():
    weak = re.compile(r"\b(md5|sha1|SHA1|MD5)\b")
    assert [name_of(path) for path in modules() if weak.search(path.read_text("utf-8"))] == []


def test_only_the_folder_static_is_served(demo):
    for path in ("/.git/HEAD", "/static/../run", "/static/%2e%2e/run", "/data/ninefifty.db"):
        assert demo.get(path).status_code == 404


def test_no_other_origin_is_let_read(demo):
    answer = demo.get("/", headers={"Origin": "https://other.example"})
    assert [name for name in answer.headers if name.startswith("access-control")] == []


def test_pages_say_what_they_are_written_in(demo):
    kinds = {demo.get(path).headers["content-type"] for path in ("/", "/rules", "/nowhere")}
    assert kinds == {"text/html; charset=utf-8"}


def test_looking_at_an_address_never_holds_the_writer():
    writers = [
        f"{name_of(path)}: {node.name}"
        for path in modules(SERVER / "web")
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        if any(".get(" in ast.unparse(each) for each in node.decorator_list)
        if "WriteSession" in ast.unparse(node.args) or ".writing()" in ast.unparse(node)
    ]
    assert writers == []
