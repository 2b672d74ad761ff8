"""The modules of the server as they are parsed, once for all tests that read them."""

import ast
from functools import cache
from pathlib import Path


@cache
def text(path: Path) -> str:
    """What stands in a file."""
    return path.read_text(encoding="utf-8")


@cache
def tree(path: Path) -> ast.Module:
    """A module as Python reads it, for looking only: everybody gets the same."""
    return ast.parse(text(path))
