from contextlib import contextmanager

import pytest
from fastapi.testclient import TestClient

from server.store.devices import let_in
from server.web.frame.cookies import DEVICE
from server.web.frame.dependencies import handed_now_ms
from server.web.plan.outlook import Outlooks
from tests import engines
from tests.factories import NOW_MS
from tests.lent import built_app, lent_app
from tests.owner import COOKIES
from tests.prepared import put_furnished

ORIGIN = "http://tablet.lan"


@contextmanager
def app_in(folder, *, demo=False, **settings):
    """The owner's browser on the app over `folder`; redirects are not followed."""
    is_usual = settings.keys() <= {"people"} and engines.chosen() == engines.SQLITE
    is_usual = is_usual and not engines.is_there(folder)
    place = put_furnished(folder, demo)
    if isinstance(place, str):
        settings["database"] = place
    started = lent_app(folder, demo, **settings) if is_usual else built_app(folder, demo, settings)
    with started as app:
        app.dependency_overrides[handed_now_ms] = lambda: NOW_MS
        with TestClient(
            app,
            base_url=ORIGIN,
            headers={"Origin": ORIGIN},
            cookies=COOKIES,
            follow_redirects=False,
            raise_server_exceptions=False,
        ) as client:
            app.state.outlooks = Outlooks(clock_ms=lambda: NOW_MS)
            yield client


def beside(client, /, **options):
    """Another browser on the same app, which shows no cookie but those it is given.

    It shares the loop of the first: one of its own for each request would take most of the time.
    """
    usual = {"base_url": ORIGIN, "headers": {"Origin": ORIGIN}, "follow_redirects": False}
    browser = TestClient(client.app, **(usual | options))
    browser.portal = client.portal
    return browser


def later(client, ms):
    """Let so much time pass for the app of this browser."""
    client.app.dependency_overrides[handed_now_ms] = lambda: NOW_MS + ms


def let_in_as(client, role):
    """The cookies of another device that is let in as `role`."""
    with client.app.state.database.writing() as session:
        _, token = let_in(session, role, "Phone", NOW_MS)
    return {f"{DEVICE}-80": token}


@pytest.fixture
def client(tmp_path):
    """A browser on an app that holds nothing but the first rule sheet."""
    with app_in(tmp_path) as client:
        yield client


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """A browser on an app with the demo. All tests share it: it is only looked at."""
    with app_in(tmp_path_factory.mktemp("demo"), demo=True) as client:
        yield client


@pytest.fixture
def own_demo(tmp_path):
    """A browser on an app with the demo for one test, which may change it."""
    with app_in(tmp_path, demo=True) as client:
        yield client
