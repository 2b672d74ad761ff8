"""What all tests share."""

import os
import sys

from hypothesis import settings

# Each process of the tests, and each server they start, would else compile the whole app and all
# tests anew, where the environment asks for no compiled files: half a minute for each.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# How long one example takes says more about what else the machine does than about the code.
settings.register_profile("ours", deadline=None)
# What once failed is fixed into its law: each run need not search as long as one before a release.
settings.register_profile("usual", settings.get_profile("ours"), max_examples=30)
settings.load_profile("ours")


def pytest_configure(config):
    """The usual run draws fewer examples; `./run test --all`, and whoever runs a file, all."""
    if config.getoption("markexpr") == "not thorough":
        settings.load_profile("usual")
