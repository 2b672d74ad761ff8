"""Two workers over one PostgreSQL database and one folder: what one did, the other knows."""

import time
from contextlib import ExitStack
from dataclasses import replace

import pytest
from fastapi.testclient import TestClient

from server.domain.runs.events import event_document
from server.store.devices import list_devices
from server.store.routines import edit_routine
from server.web.frame.throttle import TRIES
from tests import engines
from tests.browser.desk import silence
from tests.factories import NOW_MS, make_event, make_routine
from tests.web.conftest import ORIGIN, app_in
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

WITHIN_S = 20
CONTENT = silence(2)


@pytest.fixture(scope="module")
def workers(tmp_path_factory):
    """The owner's browser on each of two workers; all tests share them."""
    engines.choose(engines.POSTGRES)
    folder = tmp_path_factory.mktemp("several")
    with ExitStack() as both:
        yield [both.enter_context(app_in(folder)) for _ in range(2)]
    engines.drop_below(folder)
    engines.unchoose()


@pytest.fixture
def stranger(workers):
    """A browser on the second worker that nobody let in."""
    with ExitStack() as stack:

        def come(worker):
            headers = {"Origin": ORIGIN}
            browser = TestClient(
                worker.app, base_url=ORIGIN, headers=headers, follow_redirects=False
            )
            browser.portal = worker.portal  # The app runs already, in its own loop.
            stack.callback(browser.close)
            return browser

        yield come


def until(is_so):
    """Return when something that a notice brings about is so."""
    give_up = time.monotonic() + WITHIN_S
    while not is_so():
        assert time.monotonic() < give_up, "it never became so"
        time.sleep(0.005)


def code_of(client, role="mine"):
    client.post("/devices/code", data={"role": role})
    return Page(client.get("/devices")).text("#code")


def test_what_was_changed_through_one_worker_is_shown_by_the_other_at_once(workers):
    a, b = workers
    path = keep(a, make_routine(routine_id="shown"))
    for number in range(6):
        one, other = ((a, b), (b, a))[number % 2]
        other.get(f"{path}/runs")  # The other keeps the page as it is before.
        with one.app.state.database.writing() as session:
            edit_routine(session, "shown", named(f"Evening set {number}"), "Renamed", NOW_MS)
        assert f"Evening set {number}" in other.get(f"{path}/runs").text


def named(name):
    return lambda routine: replace(routine, name=name)


def test_a_code_that_one_worker_shows_lets_in_through_the_other_and_once(workers, stranger):
    a, b = workers
    code = code_of(a)
    assert Page(b.get("/devices")).text("#code") == code
    assert stranger(b).post("/in", data={"code": code}).status_code == 303
    assert stranger(a).post("/in", data={"code": code}).status_code == 422


def test_a_device_taken_out_through_one_worker_is_shut_out_by_the_other(workers, stranger):
    a, b = workers
    device, before = stranger(b), keys(a)
    device.post("/in", data={"code": code_of(a)})
    assert device.get("/devices").status_code == 200
    (key,) = keys(a) - before
    assert a.post(f"/devices/{key}/take").status_code == 303
    until(lambda: device.get("/devices").status_code == 403)


def keys(worker):
    with worker.app.state.database.reading() as session:
        return {each.key for each in list_devices(session)}


def test_the_link_in_the_terminal_of_one_worker_opens_through_the_other(workers, stranger):
    a, b = workers
    secret = {"secret": a.app.state.door.link_secret}
    until(lambda: stranger(b).post("/in/link", data=secret).status_code == 303)


def test_wrong_codes_count_together_wherever_they_are_tried(workers):
    a, b = workers
    waits = []
    for number in range(TRIES + 2):
        throttle = (a, b)[number % 2].app.state.wrong_codes
        waits.append(a.portal.call(throttle.wait_s, "192.0.2.7"))
    assert waits[:TRIES] == [0.0] * TRIES
    assert 0 < waits[TRIES] < waits[TRIES + 1]


def test_when_a_device_asked_last_is_known_to_all_workers(workers):
    a, b = workers
    keep(a, make_routine(routine_id="asked"))
    run_id = keep_run(a, make_routine(routine_id="asked"), [make_event("start", "start")])
    a.get(f"/api/runs/{run_id}/events", params={"device": "tablet"})
    until(lambda: b.app.state.heard.latest(run_id, {"tablet": 0})["tablet"] > 0)


def test_marks_sent_in_turns_to_two_workers_stand_in_one_log(workers):
    a, b = workers
    keep(a, make_routine(routine_id="log"))
    run_id = keep_run(a, make_routine(routine_id="log"), [])
    for number in range(10):
        kind, more = ("incident", {"what": "other"}) if number else ("start", {})
        mark = event_document(make_event(f"e{number}", kind, seq=number, at_s=number, **more))
        for worker in ((a, b), (b, a))[number % 2]:  # The second time it is there already.
            answer = worker.post(f"/api/runs/{run_id}/events", json={"events": [mark]})
            assert answer.json()["accepted"] == [f"e{number}"]
    found = b.get(f"/api/runs/{run_id}/events").json()["events"]
    assert [each["id"] for each in found] == [f"e{number}" for number in range(10)]


def test_parts_of_a_recording_may_come_through_any_worker(workers):
    a, b = workers
    keep(a, make_routine(routine_id="sound"))
    run_id = keep_run(a, make_routine(routine_id="sound"), [make_event("start", "start")])
    told = {
        "id": "take-1", "kind": "sound", "started_ms": 0, "lasts_ms": 2000,
        "size_bytes": len(CONTENT),
    }  # fmt: skip
    a.post(f"/api/runs/{run_id}/recordings", json=told)
    for number, first in enumerate(range(0, len(CONTENT), 4000)):
        part = CONTENT[first : first + 4000]
        path = f"/api/recordings/take-1/parts/{number}"
        sent = [each.put(path, content=part).json()["parts"] for each in (a, b)]
        assert sent == [number + 1] * 2
    assert b.get("/recordings/take-1").content == CONTENT
