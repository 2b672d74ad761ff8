"""The shape others live in: direction of imports, sizes, names, templates, vendored files."""

import ast
import hashlib
import re
import subprocess
import sys
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from server.bootstrap import APP_LOCK, extra_lock
from tests.parsed import text, tree

ROOT = Path(__file__).resolve().parent.parent
SERVER = ROOT / "server"
TEMPLATES = ROOT / "templates"
STATIC = ROOT / "static"
VENDOR = STATIC / "vendor"

LONGEST_MODULE = 300
LONGEST_SCRIPT = 150
FULLEST_ROOM = 36
LONGEST_FUNCTION = 60
WEB_LIBRARIES = {"fastapi", "starlette", "uvicorn", "jinja2", "httpx"}
DATABASE_LIBRARIES = {"sqlmodel", "sqlalchemy", "alembic", "sqlite3"}
MIGRATIONS = SERVER / "store" / "migrations"
ALLOWED_ADDRESSES = ("http://www.w3.org/",)  # names of vocabularies, never loaded


def modules(folder=SERVER):
    return sorted(folder.rglob("*.py"))


def written_modules(folder):
    # A migration is a list of tables as they once were: as long as that takes, called by no one.
    return [path for path in modules(folder) if MIGRATIONS not in path.parents]


def served_files():
    sources = {".html", ".css", ".js", ".svg", ".json", ".webmanifest"}
    ours = [
        *TEMPLATES.rglob("*"),
        *(path for path in STATIC.rglob("*") if VENDOR not in path.parents),
    ]
    return sorted(path for path in ours if path.suffix in sources)


def scripts():
    return [path for path in served_files() if path.suffix == ".js"]


def template_files():
    return sorted(TEMPLATES.rglob("*.html"))


def name_of(path):
    return path.relative_to(ROOT).as_posix()


def faults(paths, find):
    """What `find` finds in each of these files, under its name; those without a fault left out."""
    assert paths, "no file to check"
    found = {name_of(path): find(path) for path in paths}
    return {name: each for name, each in found.items() if each}


@cache
def imports(path):
    """Dotted names of everything a module imports, wherever in it the import stands."""
    found = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = "." * node.level + (node.module or "")
            found |= {base} | {f"{base}.{alias.name}" for alias in node.names}
    return found


def uses(path, *packages):
    return sorted(
        name
        for name in imports(path)
        if any(name == package or name.startswith(f"{package}.") for package in packages)
    )


def functions(path, *, public_only):
    """Functions of a module and methods of its classes, not those inside other functions."""

    def is_wanted(node):
        return not (public_only and node.name.startswith("_"))

    module = tree(path)
    classes = [node for node in module.body if isinstance(node, ast.ClassDef) and is_wanted(node)]
    held = [node for holder in (module, *classes) for node in holder.body]
    kinds = (ast.FunctionDef, ast.AsyncFunctionDef)
    return [node for node in held if isinstance(node, kinds) and is_wanted(node)]


def test_the_domain_knows_neither_web_nor_database_nor_what_lies_outside_it():
    def outside(path):
        ours = [n for n in uses(path, "server") if not n.startswith("server.domain")]
        return uses(path, *WEB_LIBRARIES, *DATABASE_LIBRARIES) + ours

    assert faults(modules(SERVER / "domain"), outside) == {}


def test_the_store_does_not_know_the_web():
    above = (*WEB_LIBRARIES, "server.web", "server.app")
    assert faults(modules(SERVER / "store"), lambda path: uses(path, *above)) == {}


def test_the_web_does_not_reach_into_the_database():
    below = ("sqlite3", "alembic", "server.store.migrations")
    assert faults(modules(SERVER / "web"), lambda path: uses(path, *below)) == {}


DOMAIN_ROOMS = (
    "base", "people", "glass", "routine", "runs", "claims", "belief", "heard", "risk", "drift",
    "prepare", "learn", "tasters", "whole",
)  # fmt: skip
WEB_ROOMS = (
    "frame", "devices", "live", "people", "sharing", "routines", "drinks", "tasters",
    "script", "plan", "prepare", "runs", "stage", "watching", "heard",
    "drift", "learn", "today",
)  # fmt: skip
"""Each room may lean on those before it, never on one behind it."""


def room_of(name):
    """Layer and room of a dotted module name: ("web", "plan"); None for what is in no room."""
    parts = name.split(".")
    in_room = parts[0] == "server" and len(parts) > 3 and parts[1] in ("domain", "web")
    return (parts[1], parts[2]) if in_room else None


def arrows_back(path, layer, rooms):
    """What a module of a room imports from rooms of its layer that come after its own."""
    own = rooms.index(path.relative_to(SERVER / layer).parts[0])
    found = {name: room_of(name) for name in imports(path)}
    return sorted(
        name
        for name, room in found.items()
        if room and room[0] == layer and rooms.index(room[1]) > own
    )


@pytest.mark.parametrize(("layer", "rooms"), [("domain", DOMAIN_ROOMS), ("web", WEB_ROOMS)])
def test_every_module_of_a_layer_stands_in_a_room(layer, rooms):
    assert {path.name for path in (SERVER / layer).iterdir() if path.is_dir()} - {
        "__pycache__"
    } == set(rooms)
    assert [path.name for path in (SERVER / layer).glob("*.py")] == ["__init__.py"]


def test_a_room_of_the_domain_leans_on_none_behind_it():
    paths = sorted((SERVER / "domain").glob("*/**/*.py"))
    assert faults(paths, lambda path: arrows_back(path, "domain", DOMAIN_ROOMS)) == {}


def test_a_room_of_the_web_leans_on_none_behind_it():
    paths = sorted((SERVER / "web").glob("*/**/*.py"))
    assert faults(paths, lambda path: arrows_back(path, "web", WEB_ROOMS)) == {}


def test_no_folder_of_code_is_a_hall():
    folders = {path.parent for path in [*modules(), *template_files(), *served_files()]}
    kinds = {".py", ".html", ".js"}
    sizes = {
        name_of(folder): sum(path.suffix in kinds for path in folder.iterdir())
        for folder in folders
    }
    assert {name: size for name, size in sizes.items() if size > FULLEST_ROOM} == {}


def test_only_the_start_joins_the_layers():
    joined = [name_of(path) for path in modules() if uses(path, "server.app")]
    assert joined == ["server/__main__.py"]


def said_afresh(asked):
    """What a process of its own prints: in here tests have loaded far more."""
    return subprocess.run(
        [sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout


@cache
def loaded_in_turn():
    """What is loaded by a start, and then with its command beside."""
    asked = (
        "import sys, server.app; print(*sys.modules)\nimport server.let_me_in; print(*sys.modules)"
    )
    by_a_start, by_both = map(set, map(str.split, said_afresh(asked).splitlines()))
    assert "server.app" in by_a_start
    return by_a_start, by_both


def test_a_start_loads_no_library_that_only_some_work_needs():
    heavy = {"alembic", "cryptography", "mako", "numpy", "scipy", "pint", "networkx", "segno"}
    heavy |= {"argon2", "webauthn", "authlib", "joserfc", "httpx", "httpx2"}
    by_a_start, _ = loaded_in_turn()
    assert heavy & by_a_start == set()


def test_a_start_loads_no_tables_that_only_some_pages_need():
    # Those of `between` it clears of what the last start left.
    by_a_start, _ = loaded_in_turn()
    tables = {name for name in by_a_start if name.endswith(".table")}
    assert {name for name in tables if name.startswith("server.")} == {"server.store.between.table"}


def test_a_start_builds_no_model_of_a_document_that_is_never_asked_for():
    asked = (
        "from server.__main__ import _app_maker; _app_maker()\n"
        "from fastapi.openapi.models import OpenAPI; print(OpenAPI.__pydantic_complete__)\n"
        "from server.web.live.routes import Beat; print(Beat.__pydantic_complete__)"
    )
    assert said_afresh(asked).split() == ["False", "True"]


def test_no_room_loads_the_pydantic_that_none_of_them_uses():
    asked = (
        "import sys; from importlib import import_module; from server.rooms import ROOMS\n"
        "for room in ROOMS: import_module(room.module)\n"
        "print(*(name for name in sys.modules if name.startswith('pydantic.v1.')))"
    )
    assert said_afresh(asked).split() == []


def test_imports_are_written_in_full():
    assert [name_of(path) for path in modules() if any(n[0] == "." for n in imports(path))] == []


def test_the_bootstrap_needs_nothing_installed():
    beside = imports(SERVER / "bootstrap.py") | imports(SERVER / "audit.py")
    needed = {name.split(".")[0] for name in beside}
    assert needed <= sys.stdlib_module_names


def test_the_app_imports_only_what_its_own_lock_file_installs():
    # The tests run with more packages than the app has; an import of one of those would pass here
    # and fail at the first start elsewhere.
    used = {name.split(".")[0] for path in modules() for name in imports(path)}
    foreign = used - sys.stdlib_module_names - {"server"}
    providers = packages_distributions()
    known = pinned(APP_LOCK) | pinned(extra_lock("school"))
    unknown = {
        module
        for module in foreign
        if not known & {name.lower().replace("_", "-") for name in providers[module]}
    }
    assert foreign >= {"fastapi", "sqlmodel"}
    assert unknown == set()


def lines_above(path, most):
    count = len(text(path).splitlines())
    return [f"{count} lines"] if count > most else []


def test_a_module_stays_readable_in_one_sitting():
    def too_long(path):
        return lines_above(path, LONGEST_MODULE) + [
            node.name
            for node in functions(path, public_only=False)
            if node.end_lineno - node.lineno >= LONGEST_FUNCTION
        ]

    assert faults(written_modules(SERVER), too_long) == {}


def test_a_module_of_the_browser_stays_short():
    assert faults(scripts(), lambda path: lines_above(path, LONGEST_SCRIPT)) == {}


def missing_imports(path):
    """What a script imports that is not there, or not offered there."""
    for names, address in re.findall(
        r"""import\s+(?:{([^}]*)}\s+from\s+)?"(\.[^"]+)\"""", text(path)
    ):
        module = (path.parent / address).resolve()
        offered = text(module) if module.is_file() else None
        for name in names.split(","):
            own = name.split(" as ")[0].strip()
            if offered is None or (own and not re.search(rf"^export .*\b{own}\b", offered, re.M)):
                yield f"{own or address} of {address}"


def test_a_script_imports_what_is_there():
    # Nothing builds the scripts: a page would find out.
    assert faults(scripts(), lambda path: list(missing_imports(path))) == {}


def test_a_module_is_named_for_its_subject():
    vague = re.compile(r"(utils?|helpers?|common|misc)\b")
    assert [name_of(path) for path in modules() if vague.match(path.stem)] == []


def test_what_others_may_call_says_what_it_does():
    def silent(path):
        return [n.name for n in functions(path, public_only=True) if not ast.get_docstring(n)]

    called = written_modules(SERVER / "domain") + written_modules(SERVER / "store")
    assert faults(called, silent) == {}


def test_there_are_templates_and_served_files_to_check():
    assert len(template_files()) > 5
    assert len(served_files()) > len(template_files())


def test_every_template_compiles_with_the_filters_of_the_app():
    from server.web.frame.render import templates

    for path in template_files():
        assert templates.env.get_template(path.relative_to(TEMPLATES).as_posix())


def test_a_template_is_a_page_or_is_named_as_a_part_of_one():
    def is_misnamed(path):
        is_page = "<!doctype html>" in text(path) or "{% extends" in text(path)
        return is_page == path.name.startswith("_")

    assert faults(template_files(), is_misnamed) == {}


FORBIDDEN_IN_MARKUP = {
    "inline style": r"<style|\sstyle\s*=",
    "inline script": r"<script(?![^>]*\ssrc=)(?![^>]*\stype=\"application/json\")",
    "event attribute": r"<[^>]*\son[a-z]+\s*=",
    "evaluated attribute": r"hx-on|hx-vals=.js:|javascript:",
    "unescaped output": r"\|\s*safe\b|autoescape\s+false",
}


def test_a_template_holds_nothing_the_policy_would_refuse():
    def refused(path):
        found = {what: re.findall(rule, text(path)) for what, rule in FORBIDDEN_IN_MARKUP.items()}
        return {what: hits for what, hits in found.items() if hits}

    assert faults(template_files(), refused) == {}


def test_what_is_served_names_no_other_host():
    def other_hosts(path):
        addresses = re.findall(
            r"(?:https?|wss?):/[/][\w.-]+[^\s\"'`)]*|(?<=[\"'(])//[\w-]+\.[\w.]+", text(path)
        )
        return [each for each in addresses if not each.startswith(ALLOWED_ADDRESSES)]

    assert faults(served_files(), other_hosts) == {}


def vendored():
    rows = (VENDOR / "README.md").read_text(encoding="utf-8")
    return dict(re.findall(r"^\| `([^`]+)` \|.*\| `([0-9a-f]{64})` \|$", rows, re.MULTILINE))


def test_every_vendored_file_is_listed():
    held = {path.relative_to(VENDOR).as_posix() for path in VENDOR.rglob("*") if path.is_file()}
    assert held == set(vendored()) | {"README.md"}


def test_a_vendored_file_is_what_was_published():
    held = {name: hashlib.sha256((VENDOR / name).read_bytes()).hexdigest() for name in vendored()}
    assert held == vendored()


def pinned(lock):
    """The packages that a lock file lists."""
    listed = re.findall(r"^([\w.-]+)==", lock.read_text(encoding="utf-8"), re.MULTILINE)
    return {name.lower().replace("_", "-") for name in listed}


def test_the_single_bar_loads_nothing_that_only_a_school_needs():
    _, by_both = loaded_in_turn()
    loaded = {name.split(".")[0] for name in by_both}
    school = pinned(extra_lock("school")) - pinned(APP_LOCK)
    providers = packages_distributions()
    assert "psycopg" in school
    assert {
        module
        for module in loaded
        if school & {name.lower().replace("_", "-") for name in providers.get(module, ())}
    } == set()
