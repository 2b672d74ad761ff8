"""What all tests share."""

import gc
import os
import sys

import pytest
from hypothesis import settings

from server import warm_up
from tests import engines, real_server
from tests.laws import WITHOUT_HASTE
from tests.media_places import bucket, keep_only, lies_in, place_of  # noqa: F401  (fixtures)
from tests.postgres_server import NOT_HERE

# Each process of the tests, and each server they start, would else compile the whole app and all
# tests anew, where the environment asks for no compiled files: half a minute for each.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# How long one example takes says more about what else the machine does than about the code.
settings.register_profile("ours", deadline=None, suppress_health_check=WITHOUT_HASTE)
# What once failed is fixed into its law: the usual run draws fewer examples, the same each time, so
# that none fails for what nobody changed; one before a release searches on.
settings.register_profile("usual", settings.get_profile("ours"), max_examples=30, derandomize=True)
settings.load_profile("ours")

# What is collected stays to the end: to look through it again and again finds nothing to let go.
gc.disable()

OBJECTS_BETWEEN_LOOKS = 20_000
"""How many more there are before the youngest are looked through; Python's own 700 are for less."""


def pytest_addoption(parser):
    parser.addoption(
        "--engine",
        choices=(engines.SQLITE, engines.POSTGRES),
        default=engines.SQLITE,
        help="what keeps the databases of the tests of store and web",
    )


def pytest_configure(config):
    """The usual run draws fewer examples; `./run test --all`, and whoever runs a file, all."""
    real_server.forks = True
    config.addinivalue_line("markers", "only_sqlite: about the file, or SQLite's own ways")
    if config.getoption("markexpr") == "not thorough":
        settings.load_profile("usual")


def pytest_collection_finish():
    """From here on things come and go; what was collected is still not looked through.

    Nor is it now: to find what little of it is rubbish costs each process a second.
    """
    gc.freeze()
    gc.enable()
    gc.set_threshold(OBJECTS_BETWEEN_LOOKS, 20, 20)


def pytest_terminal_summary(terminalreporter):
    """What was not tested for want of PostgreSQL is said, not only counted as skipped."""
    skipped = terminalreporter.stats.get("skipped", [])
    reasons = [str(report.longrepr) for report in skipped if NOT_HERE in str(report.longrepr)]
    if reasons:
        terminalreporter.write_line(f"{len(reasons)} tests were left out: {reasons[0]}")


@pytest.fixture(scope="session", autouse=True)
def _engine_of_all(request):
    engines.choose(request.config.getoption("--engine"))
    yield
    engines.unchoose()


@pytest.fixture(autouse=True)
def engine(request):
    """The engine of a test: that of `engines.on_both`, or that of the whole run."""
    engines.choose(getattr(request, "param", engines.chosen()))
    if request.node.get_closest_marker("only_sqlite") and engines.chosen() != engines.SQLITE:
        engines.unchoose()
        pytest.skip("about the file of SQLite")
    yield engines.chosen()
    engines.unchoose()
    folder = request.node.funcargs.get("tmp_path")
    if folder is not None:
        engines.drop_below(folder)


# No app of a test loads anything while the test looks at something else: FastAPI builds routes with
# its warnings held back, which it can do for one thread at a time only.
warm_up.AFTER_S = 3600.0
