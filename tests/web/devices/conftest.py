import pytest

from tests.web.conftest import ORIGIN, beside


@pytest.fixture
def arrive(client):
    """Another browser on the app, without a cookie; `**more` says from where it asks."""

    def browser(origin=ORIGIN, **more):
        headers = {"Origin": origin} | more.pop("headers", {})
        return beside(client, base_url=origin, headers=headers, **more)

    return browser


@pytest.fixture
def stranger(arrive):
    """A device that was never let in."""
    return arrive()
