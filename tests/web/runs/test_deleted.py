"""What was deleted waits in a list for thirty days, whatever it is, and is gone after that."""

import pytest

from server.domain.routine.drink import Drink
from server.store.lost.deleted import KEPT_MS
from server.store.lost.forgetting import forget_old
from server.store.runs import load_run
from server.store.uploads.media import MediaFolder
from server.web.frame.filters import run_name
from tests.factories import NOW_MS, make_routine, make_segment
from tests.web.conftest import later
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

RECORDING = {"id": "take-1", "kind": "sound", "started_ms": 0, "lasts_ms": 1000, "size_bytes": 44}
SOUND = b"\x1aE\xdf\xa3\x9fB\x86\x81\x01B\x82\x84webm" + bytes(27)


@pytest.fixture
def run_id(client):
    """A routine with two drinks, a run and a recording of it."""
    keep(client, make_routine(drinks=(Drink("d1", "Dusk"), Drink("d2", "Dawn"))))
    run_id = keep_run(client)
    client.post(f"/api/runs/{run_id}/recordings", json={**RECORDING, "size_bytes": len(SOUND)})
    assert client.put("/api/recordings/take-1/parts/0", content=SOUND).json()["done"]
    return run_id


def listed(client):
    page = Page(client.get("/deleted"))
    return [each.get("id").removeprefix("deleted-") for each in page.all("li.row")]


def bring_back(client, thing):
    (form,) = Page(client.get("/deleted")).all(f"#deleted-{thing} form[action$='/restore']")
    assert client.post(form.get("action")).status_code == 303


def forget(client, tmp_path, at_ms):
    state = client.app.state
    folder, music = MediaFolder(tmp_path / "recordings"), MediaFolder(tmp_path / "music")
    forget_old(state.database, folder, music, at_ms)


DELETIONS = {
    "routine-r1": "/routines/r1/delete",
    "run-{run}": "/runs/{run}/delete",
    "recording-take-1": "/recordings/take-1/delete",
    "drink-d1": "/routines/r1/drinks/d1/delete",
}


@pytest.mark.parametrize("thing", DELETIONS)
def test_what_was_deleted_is_listed_and_brought_back_from_there(client, run_id, thing):
    address = DELETIONS[thing].format(run=run_id)
    assert client.post(address).status_code == 303
    (found,) = listed(client)
    assert found == thing.format(run=run_id)
    bring_back(client, found)
    assert listed(client) == []


def test_deleted_runs_without_names_are_told_apart_by_when_they_were(client, run_id):
    with client.app.state.database.reading() as session:
        name = run_name(load_run(session, run_id).line)
    client.post(f"/runs/{run_id}/delete")
    assert Page(client.get("/deleted")).text(".row-title") == f"Run of {name}"


def test_what_came_back_is_what_was_deleted(client, run_id):
    for address in list(DELETIONS.values())[1:]:
        client.post(address.format(run=run_id))
    for thing in listed(client):
        bring_back(client, thing)
    assert client.get("/recordings/take-1").content == SOUND
    assert client.get(f"/runs/{run_id}").status_code == 200
    assert {drink.name for drink in kept(client).drinks} == {"Dusk", "Dawn"}


def test_a_drink_comes_back_to_the_segments_that_were_about_it(client):
    segments = (make_segment("s1", drink_id="d1"), make_segment("s2"))
    keep(client, make_routine(drinks=(Drink("d1", "Dusk"),), segments=segments))
    client.post("/routines/r1/drinks/d1/delete")
    bring_back(client, "drink-d1")
    assert [segment.drink_id for segment in kept(client).segments] == ["d1", None]


def test_after_thirty_days_the_list_is_empty(client, run_id):
    for address in list(DELETIONS.values())[1:]:
        client.post(address.format(run=run_id))
    later(client, KEPT_MS + 1)
    assert listed(client) == []


@pytest.mark.parametrize(("later_ms", "stays"), [(KEPT_MS, True), (KEPT_MS + 1, False)])
def test_marks_and_recordings_go_for_good_after_thirty_days(
    client, run_id, tmp_path, later_ms, stays
):
    client.post(f"/runs/{run_id}/delete")
    client.post("/recordings/take-1/delete")
    for _ in "ab":  # It is looked again and again.
        forget(client, tmp_path, NOW_MS + later_ms)
    with client.app.state.database.reading() as session:
        assert bool(load_run(session, run_id).record.events) == stays
    assert bool(list((tmp_path / "recordings").iterdir())) == stays


def test_a_device_that_sends_to_a_run_long_gone_is_told_that_it_was_deleted(
    client, run_id, tmp_path
):
    client.post(f"/runs/{run_id}/delete")
    forget(client, tmp_path, NOW_MS + KEPT_MS + 1)
    event = {"id": "x", "device_id": "t", "boot_id": "b", "seq": 9, "kind": "note"}
    sent = {"events": [{**event, "wall_ms": NOW_MS, "mono_ms": 1.0, "text": "late"}]}
    assert client.post(f"/api/runs/{run_id}/events", json=sent).status_code == 410


def test_a_routine_long_gone_takes_its_runs_with_it(client, run_id, tmp_path):
    client.post("/routines/r1/delete")
    forget(client, tmp_path, NOW_MS + KEPT_MS + 1)
    assert client.get("/routines/r1/plan").status_code == 404
    assert client.get(f"/runs/{run_id}").status_code in (404, 410)
    assert client.get("/").status_code == 200


def test_what_was_not_deleted_stays_for_ever(client, run_id, tmp_path):
    forget(client, tmp_path, NOW_MS + 100 * KEPT_MS)
    assert client.get("/recordings/take-1").content == SOUND
    assert client.get(f"/runs/{run_id}").status_code == 200


def test_a_deleted_recording_can_be_gone_at_once(client, run_id, tmp_path):
    client.post("/recordings/take-1/delete")
    for _ in "ab":  # The second time from a page that was left open.
        assert client.post("/recordings/take-1/forget").status_code == 303
    assert listed(client) == list((tmp_path / "recordings").iterdir()) == []
    assert client.post("/recordings/take-1/restore").status_code == 410


def test_only_a_deleted_recording_can_be_gone_at_once(client, run_id):
    client.post("/recordings/take-1/forget")
    assert client.get("/recordings/take-1").content == SOUND


def test_a_drink_that_nobody_deleted_cannot_be_brought_back(client, run_id):
    for routine_id in ("r1", "nobody"):
        answer = client.post(f"/routines/{routine_id}/deleted-drinks/d1/restore")
        assert answer.status_code == 404
