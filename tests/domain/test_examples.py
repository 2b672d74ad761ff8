"""The examples in the docstrings of the domain are run as they stand."""

import doctest
import importlib
import pkgutil

import server.domain
from tests.table import table

MODULES = sorted(
    module.name for module in pkgutil.walk_packages(server.domain.__path__, "server.domain.")
)


@table("name", MODULES)
def test_the_examples_of_each_module_hold(name):
    module = importlib.import_module(name)
    result = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert result.failed == 0


def test_there_are_examples_to_run():
    finder = doctest.DocTestFinder()
    modules = [importlib.import_module(name) for name in MODULES]
    assert sum(bool(test.examples) for module in modules for test in finder.find(module)) >= 40
