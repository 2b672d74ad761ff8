"""Marks are answered before all else of the app, as they would be by all of it."""

import pytest

from server.domain.runs.events import event_document
from server.web.frame.layers import named
from tests.factories import make_events, make_routine
from tests.table import table
from tests.web.conftest import app_in
from tests.web.shelf import keep, keep_run

LOG = make_events({"s1": 61})
PLAIN = [("Content-Type", "application/json")]
SAID_TWICE = [*PLAIN, ("X-Twice", "1"), ("X-Twice", "2")]
"""Headers that need a second look."""


@pytest.fixture
def went_the_usual_way(run_id, monkeypatch):
    """The names of the requests that did."""
    names = []
    begin = named.begin_request

    def note(given):
        names.append(begin(given))
        return names[-1]

    monkeypatch.setattr(named, "begin_request", note)
    return names


def on_stage(client):
    """A run whose stage was opened, so that the room of marks is loaded."""
    keep(client)
    run_id = keep_run(client, make_routine(), events=())
    assert client.get(f"/runs/{run_id}/stage").status_code == 200
    return run_id


@pytest.fixture
def run_id(client):
    return on_stage(client)


def send(client, run_id, headers, *events, **content):
    if events:
        content["json"] = {"events": [event_document(event) for event in events]}
    return client.post(f"/api/runs/{run_id}/events", headers=headers, **content)


def told(answer):
    """What is the same of two answers: all but the name of the request."""
    headers = {name: value for name, value in answer.headers.items() if name != "x-request-id"}
    return answer.status_code, sorted(headers.items()), answer.json()


def test_a_mark_is_answered_as_the_whole_app_would(client, run_id, went_the_usual_way):
    quick = send(client, run_id, PLAIN, LOG[0])
    assert quick.json()["accepted"] == [LOG[0].id]
    assert not went_the_usual_way
    other_run_id = keep_run(client, make_routine(), events=())
    usual = send(client, other_run_id, SAID_TWICE, LOG[0])
    assert went_the_usual_way == [usual.headers["x-request-id"]]
    assert told(quick) == told(usual)
    assert quick.headers["x-request-id"] != usual.headers["x-request-id"]


@table(
    "of_run, content, status",
    [
        ("nobody", {"json": {"events": [event_document(LOG[0])]}}, 404),
        ("", {"content": b"{"}, 422),
        ("", {"json": {"events": []}}, 422),
        ("", {"json": {"events": [event_document(LOG[0]) | {"kind": "dance"}]}}, 422),
    ],
)
def test_what_is_refused_is_told_as_the_whole_app_would(client, run_id, of_run, content, status):
    quick = send(client, of_run or run_id, PLAIN, **content)
    assert quick.status_code == status
    assert told(quick) == told(send(client, of_run or run_id, SAID_TWICE, **content))


def test_a_mark_keeps_the_name_that_a_proxy_gave_its_request(client, run_id, went_the_usual_way):
    answer = send(client, run_id, [*PLAIN, ("X-Request-ID", "front-7")], LOG[0])
    assert answer.headers["x-request-id"] == "front-7"
    assert not went_the_usual_way


def test_a_mark_is_counted_with_all_other_requests(tmp_path):
    with app_in(tmp_path, metrics=True) as client:
        assert send(client, on_stage(client), PLAIN, LOG[0]).status_code == 200
        counted = client.get("/metrics").text
    label = 'method="POST",route="/api/runs/{run_id}/events",status="200"'
    assert f"ninefifty_requests_total{{{label}}} 1.0" in counted


def test_a_mark_of_more_than_a_body_may_have_is_refused(client, run_id):
    pieces = (b" " * 400_000 for _ in range(3))
    answer = send(client, run_id, PLAIN, content=pieces)
    assert answer.status_code == 413
