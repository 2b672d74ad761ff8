"""The examples in the docstrings of the package are run as they stand."""

import doctest
import importlib
import pkgutil

import pytest

import server.domain.drift

MODULES = sorted(module.name for module in pkgutil.iter_modules(server.domain.drift.__path__))


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_each_module_hold(name):
    module = importlib.import_module(f"server.domain.drift.{name}")
    result = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert result.failed == 0


def test_there_are_examples_to_run():
    finder = doctest.DocTestFinder()
    modules = [importlib.import_module(f"server.domain.drift.{name}") for name in MODULES]
    assert sum(bool(test.examples) for module in modules for test in finder.find(module)) >= 8
