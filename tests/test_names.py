"""Each name means one thing: no two classes of the server share one."""

import ast
from collections import defaultdict
from pathlib import Path

from tests.parsed import tree

SERVER = Path(__file__).resolve().parent.parent / "server"
TWICE: set[str] = set()
"""Names that two classes share because they mean the same."""


def test_a_class_name_means_one_thing():
    found = defaultdict(list)
    for path in sorted(SERVER.rglob("*.py")):
        for node in tree(path).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(path.relative_to(SERVER).as_posix())
    shared = {name: where for name, where in found.items() if len(where) > 1}
    assert {name: where for name, where in shared.items() if name not in TWICE} == {}
