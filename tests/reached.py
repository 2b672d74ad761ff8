"""Which functions of the server no route, command or start reaches, and which fields nobody reads.

`python -m tests.reached` lists them. A definition is reached when something reached names it: what
runs on import, a route, a template. Methods and fields are told by their name alone, so that a few
that share it with one in use are missed; what is listed is surely not reached.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.parsed import tree

SERVER, TEMPLATES = Path("server"), Path("templates")
CALLED_BY_ALEMBIC = SERVER / "store" / "migrations" / "versions"

_WORD = re.compile(r"\w+")
_DRAWN = re.compile(r"\{[{%].*?[%}]\}", re.DOTALL)
_OURS_TO_CALL = {"NamedTuple", "Protocol", "Generic", "Exception"}
"""Bases of others that call no method of what is derived from them."""

READ_ELSEWHERE = {
    # The fold in the browser tells them too, and both are held to the same cases.
    "domain.runs.run.RunState.current",
    "domain.runs.run.RunState.undo_id",
    # What laws of these values are stated by.
    "domain.claims.finds.Find.sentence_words",
    "domain.claims.numbers.Number.is_word",
    "domain.risk.advice.CutAdvice.chance_now",
}

Function = ast.FunctionDef | ast.AsyncFunctionDef
Name = tuple[str, str]
"""What code names: a module and what stands in it, or "" and an attribute of whatever value."""


@dataclass(frozen=True)
class Definition:
    """A function, class, method or field: how it is named by others, and what it names."""

    place: str
    name: Name
    names: frozenset[Name]
    owner: Name | None = None

    @property
    def is_public(self) -> bool:
        """Whether others may call it."""
        return not any(part.startswith("_") for part in self.place.split("."))


def unreached() -> list[str]:
    """The public functions, classes, methods and fields that nothing reaches, as "module.name"."""
    definitions, seen = _read()
    reached: set[Definition] = set()
    while True:
        more = {
            each
            for each in definitions
            if each not in reached
            and each.name in seen
            and (each.owner is None or each.owner in seen)
        }
        if not more:
            break
        reached |= more
        seen = seen.union(*(each.names for each in more))
    missed = {each.place for each in definitions if each.is_public and each not in reached}
    return sorted(missed - READ_ELSEWHERE)


def _read() -> tuple[list[Definition], set[Name]]:
    """All definitions, and what is named where nothing has to be called first."""
    definitions: list[Definition] = []
    words: set[Name] = {("", word) for text in _drawn() for word in _WORD.findall(text)}
    named = set(words)
    for path in sorted(SERVER.rglob("*.py")):
        module = _Module(path)
        definitions += module.definitions
        if path.is_relative_to(SERVER / "web"):
            # A page may be given a module, whose functions its template calls.
            named |= {(module.name, word) for _, word in words}
        named |= module.named_on_import
    return definitions, named


def _drawn() -> Iterator[str]:
    for path in TEMPLATES.rglob("*"):
        if path.is_file() and path.parent.name != "__pycache__":
            yield from _DRAWN.findall(path.read_text())


class _Module:
    def __init__(self, path: Path) -> None:
        parts = path.with_suffix("").parts
        self.name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        self._tree = tree(path.absolute())
        self._known: dict[str, Name] = {}
        for node in ast.walk(self._tree):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("server"):
                for each in node.names:
                    self._known[each.asname or each.name] = (node.module or "", each.name)
        for item in self._tree.body:
            if isinstance(item, Function | ast.ClassDef):
                self._known[item.name] = (self.name, item.name)
        self.definitions: list[Definition] = []
        self.named_on_import: set[Name] = set()
        for item in self._tree.body:
            if isinstance(item, Function):
                self._add_function(item, called=path.is_relative_to(CALLED_BY_ALEMBIC))
            elif isinstance(item, ast.ClassDef):
                self._add_class(item)
            else:
                self.named_on_import |= self._names(item)

    def _add_function(self, item: Function, called: bool) -> None:
        own = (self.name, item.name)
        self._add(f"{self.name}.{item.name}", own, self._names(item))
        # A route, a filter: `@router.get("")` hands it to something that calls it.
        calls = (each.func if isinstance(each, ast.Call) else each for each in item.decorator_list)
        if called or any(isinstance(each, ast.Attribute) for each in calls):
            self.named_on_import.add(own)

    def _add_class(self, item: ast.ClassDef) -> None:
        own = (self.name, item.name)
        bases = {each.id for each in item.bases if isinstance(each, ast.Name)}
        is_derived = len(bases) < len(item.bases) or bool(bases - _OURS_TO_CALL - set(self._known))
        methods = [each for each in item.body if isinstance(each, Function)]
        used = set().union(
            *(self._names(each) for each in ast.iter_child_nodes(item) if each not in methods)
        )
        for method in methods:
            if is_derived or method.name.startswith("__"):
                used |= self._names(method)
            else:
                place = f"{self.name}.{item.name}.{method.name}"
                self._add(place, ("", method.name), self._names(method), own)
        self._add(f"{self.name}.{item.name}", own, used)
        if any("dataclass" in ast.unparse(each) for each in item.decorator_list):
            for field in item.body:
                if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name):
                    place = f"{self.name}.{item.name}.{field.target.id}"
                    self._add(place, ("", field.target.id), set(), own)

    def _add(self, place: str, name: Name, names: set[Name], owner: Name | None = None) -> None:
        place = place.removeprefix("server.")
        self.definitions.append(Definition(place, name, frozenset(names), owner))

    def _names(self, node: ast.AST) -> set[Name]:
        found: set[Name] = set()
        for each in ast.walk(node):
            if isinstance(each, ast.Name) and each.id in self._known:
                found.add(self._known[each.id])
            elif isinstance(each, ast.MatchClass):
                found |= {("", name) for name in each.kwd_attrs}
            elif isinstance(each, ast.Attribute) and not isinstance(each.ctx, ast.Store):
                found.add(("", each.attr))
                if isinstance(each.value, ast.Name) and each.value.id in self._known:
                    found.add((".".join(self._known[each.value.id]), each.attr))
            elif isinstance(each, ast.Constant) and isinstance(each.value, str):
                # `getattr(figure, "high")`; an annotation in quotes.
                found |= {("", each.value), self._known.get(each.value, ("", ""))}
        return found


if __name__ == "__main__":
    print("\n".join(unreached()))
