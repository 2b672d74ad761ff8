"""What the app asks itself after its start is there for whoever opens it next."""

import asyncio
import json

import pytest

from server.domain.runs.events import event_document
from server.first_pages import FIRST, FirstPages
from server.web.frame.door import BY_ITSELF
from server.web.runs import pages as runs
from server.web.today import pages as today
from tests.factories import make_events
from tests.web.conftest import app_in, beside

ROUTINE = "/routines/routine-demo"


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """The owner's browser on an app that asked itself for its first pages."""
    with app_in(tmp_path_factory.mktemp("first"), demo=True) as client:
        make_first_pages(client)
        yield client


def make_first_pages(client):
    loop = client.portal.call(asyncio.get_running_loop)
    for step in FirstPages(client.app, loop, client.app.state.database).steps():
        step()


def asked_for(client):
    """What pages are asked for, in their order."""
    steps = FirstPages(client.app, None, client.app.state.database).steps()
    return [step.args[0] for step in steps]


def test_a_page_that_was_made_ahead_is_not_made_again(client, monkeypatch):
    for module, name in ((today, "today_page"), (runs, "runs_page_of")):
        monkeypatch.setattr(module, name, None)
    assert [client.get(ROUTINE + page).status_code for page in ("", "/runs")] == [200, 200]


def test_every_page_that_is_made_ahead_is_there(client):
    assert [path for path in asked_for(client) if client.get(path).status_code != 200] == []


def test_first_comes_the_stage_of_the_run_that_was_marked_last(client):
    begun = client.post(f"{ROUTINE}/rehearse").headers["location"]
    log = json.dumps({"events": [event_document(each) for each in make_events()]})
    sent = client.post(f"/api{begun.removesuffix('/stage')}/events", content=log)
    assert sent.status_code == 200
    assert asked_for(client)[:3] == ["/", begun, ROUTINE]


def test_of_a_database_without_routines_the_list_is_made(tmp_path):
    with app_in(tmp_path) as empty:
        assert asked_for(empty) == ["/"]
        make_first_pages(empty)


def test_a_page_that_cannot_be_made_keeps_none_from_being_made(client, monkeypatch):
    made = []
    monkeypatch.setattr(
        FirstPages, "_answered", lambda _self, path: refused(path) if path == "/" else noted(path)
    )

    async def refused(path):
        raise OSError(path)

    async def noted(path):
        made.append(path)

    make_first_pages(client)
    assert made[-len(FIRST) :] == [ROUTINE + page for page in FIRST]


def test_nobody_from_outside_passes_as_the_app_itself(client):
    stranger = beside(client, headers={BY_ITSELF: "yes"})
    assert stranger.get(ROUTINE).status_code == 403
