"""The examples in the docstrings of the package are run as they stand."""

import doctest
import importlib
import pkgutil

import server.domain.belief
from tests.table import table

MODULES = sorted(module.name for module in pkgutil.iter_modules(server.domain.belief.__path__))


@table("name", MODULES)
def test_the_examples_of_each_module_hold(name):
    module = importlib.import_module(f"server.domain.belief.{name}")
    assert doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE).failed == 0
