"""An app where people have accounts, and browsers on it; passwords are hashed at little cost."""

import pytest
from argon2 import PasswordHasher

from server.store.people import passwords
from server.store.people.persons import make_person
from tests.factories import NOW_MS
from tests.web.conftest import ORIGIN, app_in, beside

PASSWORD = "three warm oranges"
ADA, BEA = "ada@bar.example", "Bea"


@pytest.fixture(autouse=True)
def quick_hashes(monkeypatch):
    cheap = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    monkeypatch.setattr(passwords, "_hasher", lambda: cheap)
    passwords._nobodys.cache_clear()
    yield
    passwords._nobodys.cache_clear()


@pytest.fixture
def owner(tmp_path):
    """The owner's browser on an app where people are to have accounts, and none is made yet."""
    with app_in(tmp_path, people=True) as client:
        yield client


def browser_on(house, origin=ORIGIN, **more):
    """Another browser on the app, which shows nothing."""
    headers = {"Origin": origin} | more.pop("headers", {})
    return beside(house, base_url=origin, headers=headers, raise_server_exceptions=False, **more)


def sign_in(browser, name=ADA, password=PASSWORD, **more):
    return browser.post("/sign-in", data={"sign_in": name, "password": password, **more})


def make_two(client):
    """Make Ada, the admin, and Bea."""
    with client.app.state.database.writing() as session:
        kept = passwords.hashed(PASSWORD)
        client.app.state.ada = make_person(session, "Ada", ADA, NOW_MS, password=kept)
        client.app.state.bea = make_person(session, "Bea", BEA, NOW_MS, password=kept)


@pytest.fixture
def house(owner):
    """The app with two people: Ada, the admin, and Bea."""
    make_two(owner)
    return owner


@pytest.fixture
def ada(house):
    """Ada's browser, signed in."""
    browser = browser_on(house)
    assert sign_in(browser).status_code == 303
    return browser


@pytest.fixture
def bea(house):
    """Bea's browser, signed in."""
    browser = browser_on(house)
    assert sign_in(browser, BEA).status_code == 303
    return browser
