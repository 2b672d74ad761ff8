"""What documents and docstrings point at is there: a map with wrong names is worse than none."""

import ast
import re
from functools import cache
from pathlib import Path

from tests.parsed import text, tree

ROOT = Path(__file__).resolve().parent.parent
SERVER = ROOT / "server"
ROW = re.compile(r"^ {0,4}(?P<names>[a-z_]+(?:, [a-z_]+)*) {2,}\S", re.MULTILINE)
"""A line of a package's docstring that tells what some of its modules do."""
NAME = re.compile(r"`([a-z_]+)`")
DOTTED = re.compile(r"`([a-z_]+)\.([A-Za-z_]+)`")
PATH = re.compile(r"`((?:[\w.-]+/)*[\w.-]+\.(?:py|js|json|toml|html|css|md|txt))`")
ENDINGS = {"py", "js", "json", "toml", "html", "css", "md", "txt", "mjs"}


def modules():
    return sorted(SERVER.rglob("*.py"))


def docstring(path):
    return ast.get_docstring(tree(path)) or ""


def room_of(path):
    """The folder of the room that a package belongs to: of claims/spoken it is claims."""
    layers = {SERVER, SERVER / "domain", SERVER / "store", SERVER / "web"}
    return next(each for each in path.parents if each.parent in layers or each == SERVER)


def docstrings(path):
    """Every text in triple quotes of a module: its own, and those behind names and in functions."""
    stated = (node.value for node in ast.walk(tree(path)) if isinstance(node, ast.Expr))
    return [
        each.value
        for each in stated
        if isinstance(each, ast.Constant) and isinstance(each.value, str)
    ]


@cache
def names_in(path):
    """What a module defines at its top, and what its classes hold."""
    classes = [node for node in tree(path).body if isinstance(node, ast.ClassDef)]
    found = set()
    for node in (each for holder in (tree(path), *classes) for each in holder.body):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            found.add(node.name)
        if isinstance(node, ast.Assign):
            found |= {each.id for each in node.targets if isinstance(each, ast.Name)}
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            found.add(node.target.id)
    return found


@cache
def by_name():
    """Name of a module, or of a package -> the paths of what may be meant by it."""
    found = {}
    for path in (*modules(), *(ROOT / "tests").rglob("*.py")):
        found.setdefault(path.stem, []).append(path)
    for path in SERVER.rglob("__init__.py"):
        found.setdefault(path.parent.name, []).append(path)
    return found


def is_there(module, name):
    """Whether a name stands in the module, or the package, that goes by that name."""
    for path in by_name()[module]:
        if name in names_in(path):
            return True
        if path.name == "__init__.py" and {path.parent / name, path.parent / f"{name}.py"} & {
            *path.parent.iterdir()
        }:
            return True
    return False


@cache
def files():
    """Every file of the project, by its path behind a stroke."""
    folders = ("server", "static", "templates", "tests")
    found = [path for folder in folders for path in (ROOT / folder).rglob("*.*")]
    return {f"/{path.relative_to(ROOT).as_posix()}" for path in (*found, *ROOT.glob("*.*"))}


def file_is_there(name):
    """Whether a file goes by that name, or by the end of its path."""
    return any(path.endswith(f"/{name}") for path in files())


def test_what_the_docstring_of_a_package_names_stands_in_its_room():
    astray = []
    for path in SERVER.rglob("__init__.py"):
        told = docstring(path)
        rows = {name for row in ROW.finditer(told) for name in row["names"].split(", ")}
        room = list(room_of(path).rglob("*.py"))
        known = {each.stem for each in room}.union(*map(names_in, room))
        here = {each.stem for each in path.parent.iterdir()}
        astray += [f"{path.parent.name}: {name}" for name in rows - here]
        astray += [f"{path.parent.name}: {name}" for name in set(NAME.findall(told)) - known]
    assert astray == []


def test_a_name_that_a_docstring_points_at_stands_in_its_module():
    pointed = [
        (path, module, name)
        for path in modules()
        for told in docstrings(path)
        for module, name in DOTTED.findall(told)
        if module in by_name() and name not in ENDINGS
    ]
    assert pointed
    astray = [each for each in pointed if not is_there(*each[1:])]
    assert [f"{path.name}: {module}.{name}" for path, module, name in astray] == []


def test_a_file_that_a_text_points_at_is_there():
    told = {path: docstrings(path) for path in modules()}
    told |= {path: [text(path)] for path in (*ROOT.glob("*.md"), SERVER / "DECISIONS.md")}
    astray = [
        f"{path.name}: {file}"
        for path, each in told.items()
        for words in each
        for file in PATH.findall(words)
        if not file_is_there(file)
    ]
    assert astray == []
