"""The examples in the docstrings of the domain are run as they stand."""

import doctest
import importlib
import pkgutil
from pathlib import Path

import server.domain
from tests.table import table

MODULES = sorted(
    module.name for module in pkgutil.walk_packages(server.domain.__path__, "server.domain.")
)


def with_examples():
    """The modules in whose text an example stands; to look for one costs more than to run it."""
    found = [importlib.import_module(name) for name in MODULES]
    return [module for module in found if ">>> " in Path(module.__file__).read_text("utf-8")]


@table("module", with_examples(), ids=lambda module: module.__name__)
def test_the_examples_of_each_module_hold(module):
    result = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert result.failed == 0


def test_there_are_examples_to_run():
    assert len(with_examples()) >= 40
