"""Who marks a run under which name: the clock is held by a secret, not by a name that is said."""

from dataclasses import replace

import pytest

from server.domain.runs.events import DESK
from server.store.devices import let_in
from server.store.runs import load_run
from server.web.frame.cookies import DEVICE
from tests.factories import NOW_MS, make_event, make_events, make_routine
from tests.web.conftest import beside, let_in_as
from tests.web.shelf import keep, keep_run, send

LOG = make_events({"s1": 61})


@pytest.fixture
def run_id(client):
    keep(client)
    return keep_run(client, make_routine(), events=())


@pytest.fixture
def other(client):
    """Another of the owner's devices."""
    return beside(client, cookies=let_in_as(client, "mine"))


def test_who_says_the_name_of_the_device_that_holds_the_clock_does_not_hold_it(
    client, other, run_id
):
    start, done, *_ = LOG
    assert send(client, run_id, start).status_code == 200
    answer = send(other, run_id, done)
    assert answer.status_code == 422
    assert "Another device marks this run" in answer.json()["error"]["message"]
    assert send(client, run_id, done).status_code == 200


def test_another_of_the_owners_devices_takes_the_clock_over_on_purpose(client, other, run_id):
    send(client, run_id, LOG[0])
    hold = replace(make_event("h1", "hold", seq=1, at_s=9, at_ms=9000.0), device_id="phone")
    assert send(other, run_id, hold).json()["takeovers"] == ["h1"]


def test_nobody_marks_under_the_name_of_the_apps_own_pages(client, run_id):
    note = replace(make_event("n1", "note", text="Forged"), device_id=DESK)
    assert send(client, run_id, note).status_code == 422


def test_marks_of_before_the_rule_are_gone_on_with_by_their_device(client, run_id):
    keep_run_id = keep_run(client, make_routine(), events=LOG[:1])
    assert send(client, keep_run_id, LOG[1]).status_code == 200


def test_a_refused_batch_keeps_nothing_and_no_name(client, other, run_id):
    send(client, run_id, LOG[0])
    mixed = (replace(make_event("n2", "note", text="x"), device_id="fresh"), LOG[1])
    assert send(other, run_id, *mixed).status_code == 422
    with client.app.state.database.reading() as session:
        assert len(load_run(session, run_id).record.events) == 1
    assert send(client, run_id, mixed[0]).status_code == 200


def test_helpers_page_of_a_run_and_its_stage_offer_no_recording(client, run_id):
    with client.app.state.database.writing() as session:
        _, token = let_in(session, "helper", "Phone", NOW_MS)
    helper = beside(client, cookies={f"{DEVICE}-80": token})
    assert 'data-most-mb="0"' in helper.get(f"/runs/{run_id}/stage").text
    assert 'data-most-mb="250"' in client.get(f"/runs/{run_id}/stage").text
