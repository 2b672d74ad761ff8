"""A page holds what its templates ask for, and nothing that none of them reads."""

from dataclasses import fields
from functools import cache
from importlib import import_module
from pkgutil import walk_packages

from jinja2 import meta, nodes

import server.web
from server.web.frame.render import ROOT, templates
from server.web.frame.shown import Page, RoutinePage
from tests.table import table

FRAME = {
    "request", "swaps", "may", "offers", "signed_in", "is_asked", "has_accounts", "helps",
    "is_secure", "modules_behind",
}  # fmt: skip
"""What every template may ask for: starlette gives the one, parts that are swapped the next, and
`render` who asks."""

OF_A_ROUTINE = {"routine", "rules", "place"}
"""What the frame asks for only where a page is of a routine."""


def kinds(kind=Page):
    below = [each for one in kind.__subclasses__() for each in kinds(one)]
    return below if below or not hasattr(kind, "folder") else [kind]


def asked_for(name, seen):
    """The names that a template and what it includes ask for, less those that they set."""
    if name in seen:
        return set()
    seen.add(name)
    asked, included = read_in(name)
    return asked.union(*(asked_for(each, seen) for each in included))


@cache
def parsed(name):
    return templates.env.parse((ROOT / "templates" / name).read_text())


@cache
def read_in(name):
    """What a template asks for by itself, and the templates that it includes."""
    tree = parsed(name)
    named = meta.find_referenced_templates(tree)
    included = tuple(each for each in named if each and not imported(tree, each))
    return frozenset(meta.find_undeclared_variables(tree)), included


def imported(tree, name):
    """An imported template holds macros, which see what they are given."""
    return any(each.template.value == name for each in tree.find_all(nodes.Import))


def set_in(seen):
    """The names that templates set themselves, which those they include see."""
    trees = [parsed(name) for name in seen]
    stored = {
        each.name for tree in trees for each in tree.find_all(nodes.Name) if each.ctx == "store"
    }
    imported = {each.target for tree in trees for each in tree.find_all(nodes.Import)}
    parts = {
        name for tree in trees for each in tree.find_all(nodes.FromImport) for name in each.names
    }
    return stored | imported | parts


for module in walk_packages(server.web.__path__, "server.web."):
    import_module(module.name)  # Some pages are imported only when they are asked for.
PAGES = [each for each in kinds() if each is not RoutinePage]


def test_what_every_page_shows_is_a_typed_value():
    typed = {each.folder for each in PAGES}
    assert {path.parent.name for path in (ROOT / "templates").rglob("page.html")} - typed == set()


@table("kind", PAGES, ids=lambda each: each.__name__)
def test_a_page_holds_what_its_templates_ask_for(kind):
    folder = next((ROOT / "templates").rglob(f"{kind.folder}/page.html")).parent
    seen = set()
    asked = asked_for((folder / "page.html").relative_to(ROOT / "templates").as_posix(), seen)
    held = {each.name for each in fields(kind)}
    free = FRAME if issubclass(kind, RoutinePage) else FRAME | OF_A_ROUTINE
    assert asked - held - set_in(seen) - free == set()


@table("kind", PAGES, ids=lambda each: each.__name__)
def test_what_a_page_holds_is_read_by_a_template(kind):
    folder = next((ROOT / "templates").rglob(f"{kind.folder}/page.html")).parent
    asked = asked_for((folder / "page.html").relative_to(ROOT / "templates").as_posix(), set())
    own = {each.name for each in fields(kind)} - {each.name for each in fields(RoutinePage)}
    assert own - asked == set()
