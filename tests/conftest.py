"""What all tests share."""

import pytest
from hypothesis import settings

from tests import engines

# How long one example takes says more about what else the machine does than about the code.
settings.register_profile("ours", deadline=None)
# What once failed is fixed into its law: each run need not search as long as one before a release.
settings.register_profile("usual", settings.get_profile("ours"), max_examples=30)
settings.load_profile("ours")


def pytest_addoption(parser):
    parser.addoption(
        "--engine",
        choices=(engines.SQLITE, engines.POSTGRES),
        default=engines.SQLITE,
        help="what keeps the databases of the tests of store and web",
    )


def pytest_configure(config):
    """The usual run draws fewer examples; `./run test --all`, and whoever runs a file, all."""
    if config.getoption("markexpr") == "not thorough":
        settings.load_profile("usual")


@pytest.fixture(scope="session", autouse=True)
def _engine_of_all(request):
    engines.choose(request.config.getoption("--engine"))
    yield
    engines.unchoose()


@pytest.fixture
def engine(request):
    """The engine of a test that is run on both: see `engines.on_both`."""
    engines.choose(request.param)
    yield request.param
    engines.unchoose()


@pytest.fixture(autouse=True)
def _drops_its_databases(request):
    yield
    folder = request.node.funcargs.get("tmp_path")
    if folder is not None:
        engines.drop_below(folder)
