import pytest
from fastapi.testclient import TestClient

from tests.web.conftest import ORIGIN


@pytest.fixture
def arrive(client):
    """Another browser on the app, without a cookie; `**more` says from where it asks."""

    def browser(origin=ORIGIN, **more):
        return TestClient(
            client.app,
            base_url=origin,
            headers={"Origin": origin} | more.pop("headers", {}),
            follow_redirects=False,
            **more,
        )

    return browser


@pytest.fixture
def stranger(arrive):
    """A device that was never let in."""
    return arrive()
