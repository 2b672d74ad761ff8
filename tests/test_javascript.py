"""Modules that ask for no page, held to their rules in Node.js.

Without one the same folds, times and doubts are held in the browser (`tests/browser/stage`).
"""

import subprocess

import pytest

from tests.node import FOLDER, find_node


@pytest.mark.skipif(find_node() is None, reason="no Node.js here that reads our modules")
@pytest.mark.parametrize("file", sorted(FOLDER.glob("*.test.mjs")), ids=lambda file: file.name)
def test_modules_without_a_page_keep_their_rules(file):
    done = subprocess.run([find_node(), "--test", file], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
