"""The main paths of the app, where PostgreSQL keeps the database.

`--engine postgresql` runs all tests of the store and the web on it; these are in every run.
"""

import pytest

from server.domain.runs.events import event_document
from server.store.database import Database
from server.store.devices import let_in, list_devices
from server.store.routines import edit_routine
from tests.engines import POSTGRES, place_in
from tests.factories import NOW_MS, make_events, make_routine
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

pytestmark = pytest.mark.parametrize("engine", [POSTGRES], indirect=True)
LOG = [event_document(event) for event in make_events({"s1": 61, "s2": 120}, total_s=300)]


def test_a_routine_is_made_changed_and_taken_back(client):
    rules = Page(client.get("/")).typed("rules", "/routines")
    made = client.post("/routines", data={"name": "Evening", "rules": rules})
    address = made.headers["location"]
    client.post(f"{address}/details", data={"name": "Morning", "rules": rules})
    assert "Morning" in client.get(f"{address}/plan").text
    assert client.post(f"{address}/undo").status_code == 303
    assert kept(client, address.rsplit("/", 1)[1]).name == "Evening"


def test_marks_are_kept_once_and_make_a_run(client):
    path = keep(client)
    begun = client.post(f"{path}/rehearse").headers["location"]
    run_id = begun.split("/")[2]
    for _ in range(2):
        told = client.post(f"/api/runs/{run_id}/events", json={"events": LOG})
        assert told.json()["accepted"] == [each["id"] for each in LOG]
    kept_there = client.get(f"/api/runs/{run_id}/events").json()["events"]
    assert [each["id"] for each in kept_there] == [each["id"] for each in LOG]
    assert client.get(f"/runs/{run_id}").status_code == 200
    assert "5:00" in client.get(f"{path}/runs").text


@pytest.mark.parametrize("page", ["", "/plan", "/drinks", "/script", "/claims", "/drift", "/runs"])
def test_every_place_of_a_routine_opens(client, page):
    path = keep(client)
    keep_run(client)
    assert client.get(f"{path}{page}").status_code in (200, 303)


def test_a_device_is_named_and_taken_out(client):
    with client.app.state.database.writing() as session:
        device, _ = let_in(session, "mine", "Phone", NOW_MS)
    client.post(f"/devices/{device.key}", data={"name": "Phone of the bar"})
    assert "Phone of the bar" in client.get("/devices").text
    assert client.post(f"/devices/{device.key}/take").status_code == 303
    with client.app.state.database.reading() as session:
        assert device.key not in {each.key for each in list_devices(session)}


def test_a_page_that_another_process_changed_is_drawn_anew(client, tmp_path):
    path = keep(client)
    before = client.get(f"{path}/drift").text
    assert client.get(f"{path}/drift").text == before
    other = Database(place_in(tmp_path), folder=tmp_path)
    with other.writing() as session:
        edit_routine(session, "r1", lambda _: make_routine(name="Neap tide"), "edit", NOW_MS)
    other.close()
    assert "Neap tide" in client.get(f"{path}/drift").text


@pytest.mark.parametrize(
    "path", ["/routines/%00/plan", "/runs/%00", "/api/runs/%00/events", "/takes/%00", "/?run=%00"]
)
def test_an_address_with_a_letter_that_is_kept_nowhere_leads_nowhere(client, path):
    assert client.get(path).status_code == 404
    assert client.post(path, json={"events": LOG}).status_code == 404


def test_a_letter_that_is_kept_nowhere_is_left_out_of_what_was_typed(client):
    rules = Page(client.get("/")).typed("rules", "/routines")
    made = client.post("/routines", data={"name": "Even\0ing", "rules": rules})
    assert kept(client, made.headers["location"].rsplit("/", 1)[1]).name == "Evening"
