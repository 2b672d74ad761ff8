import pytest

from tests.web.conftest import app_in
from tests.web.sharing.world import at, furnish, hollow


@pytest.fixture(scope="package")
def app(tmp_path_factory):
    """A browser of nobody on an app where people have accounts. Only looked at."""
    with app_in(tmp_path_factory.mktemp("people"), people=True) as client:
        yield client


@pytest.fixture(scope="package")
def world(app):
    return furnish(app)


@pytest.fixture(scope="package")
def door(app, world):
    """The same world before the door alone: what is let in does nothing."""
    return at(world, hollow(app.app))


@pytest.fixture
def own_app(tmp_path):
    """The same as `app`, for one test, which may change it."""
    with app_in(tmp_path, people=True) as client:
        yield client


@pytest.fixture
def own_world(own_app):
    return furnish(own_app)


@pytest.fixture
def own_door(own_app, own_world):
    return at(own_world, hollow(own_app.app))
