"""Recordings over the wire: sent, played in pieces, shown with their chapters, deleted."""

import pytest

from server.store.uploads.media import MediaFolder
from server.web.frame.layers.request_limits import MB
from server.web.frame.uploads.uploaded import recordings_folder
from server.web.runs.recordings import FILE_POLICY
from tests.domain.base.test_media import WEBM
from tests.factories import make_events, make_routine
from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

CONTENT = WEBM + bytes(range(256)) * 8
TOLD = {
    "id": "take-1",
    "kind": "sound",
    "started_ms": 0,
    "lasts_ms": 600_000,
    "size_bytes": len(CONTENT),
}


@pytest.fixture
def run_id(client):
    keep(client)
    return keep_run(client, events=make_events({"s1": 61, "s2": 130}, total_s=595))


@pytest.fixture
def sent(client, run_id):
    """A run with a recording that has arrived."""
    assert send(client, run_id).json() == {"parts": 2, "done": True}
    return run_id


def send(client, run_id, **changes):
    told = TOLD | changes
    client.post(f"/api/runs/{run_id}/recordings", json=told).raise_for_status()
    for number, part in enumerate((CONTENT[:1000], CONTENT[1000:])):
        answer = client.put(f"/api/recordings/{told['id']}/parts/{number}", content=part)
    return answer


def error_of(answer):
    return answer.json()["error"]["code"]


def test_a_recording_is_sent_in_parts_and_says_where_to_go_on(client, run_id):
    path = f"/api/runs/{run_id}/recordings"
    assert client.post(path, json=TOLD).json() == {"parts": 0, "done": False}
    client.put("/api/recordings/take-1/parts/0", content=CONTENT[:1000])
    assert client.post(path, json=TOLD).json() == {"parts": 1, "done": False}


@pytest.mark.parametrize(
    "told",
    [
        {"size_bytes": 0},
        {"size_bytes": "many"},
        {"kind": "smell"},
        {"id": "../../etc/passwd"},
        {"started_ms": -1},
        {"file": "mine"},
    ],
)
def test_a_recording_that_is_announced_wrongly_is_refused(client, run_id, told):
    answer = client.post(f"/api/runs/{run_id}/recordings", json=TOLD | told)
    assert (answer.status_code, error_of(answer)) == (422, "invalid")


def test_parts_out_of_order_are_refused_and_doubled_ones_count_once(client, sent):
    assert client.put("/api/recordings/take-1/parts/0", content=b"x").json()["parts"] == 2
    send_first = {**TOLD, "id": "take-2"}
    client.post(f"/api/runs/{sent}/recordings", json=send_first)
    answer = client.put("/api/recordings/take-2/parts/1", content=CONTENT[1000:])
    assert (answer.status_code, error_of(answer)) == (409, "conflict")


@pytest.mark.parametrize("number", ["-1", "first"])
def test_a_part_without_a_proper_number_is_refused(client, sent, number):
    answer = client.put(f"/api/recordings/take-1/parts/{number}", content=b"x")
    assert answer.status_code == 422


def test_something_that_is_no_sound_is_refused(client, run_id):
    client.post(f"/api/runs/{run_id}/recordings", json=TOLD)
    answer = client.put("/api/recordings/take-1/parts/0", content=b"<html>" + bytes(100))
    assert (answer.status_code, error_of(answer)) == (422, "invalid")
    assert Page(client.get(f"/runs/{run_id}")).all(".recording") == []


@pytest.mark.parametrize(("size_mb", "status"), [(250, 200), (300, 413)])
def test_300_mb_are_too_much(client, run_id, tmp_path, size_mb, status):
    empty = MediaFolder(tmp_path / "empty", lambda _: 10**12)
    client.app.dependency_overrides[recordings_folder] = lambda: empty
    told = TOLD | {"size_bytes": size_mb * MB}
    assert client.post(f"/api/runs/{run_id}/recordings", json=told).status_code == status


def test_300_mb_in_one_piece_are_refused_unread(client, run_id):
    client.post(f"/api/runs/{run_id}/recordings", json=TOLD)
    sizes = {"Content-Length": str(300 * MB)}
    answer = client.put("/api/recordings/take-1/parts/0", content=b"", headers=sizes)
    assert answer.status_code == 413
    assert "too large" in answer.json()["error"]["message"]


def test_a_full_disk_refuses_the_recording_and_leaves_the_run_unharmed(client, run_id, tmp_path):
    full = MediaFolder(tmp_path / "full", lambda _: 0)
    client.app.dependency_overrides[recordings_folder] = lambda: full
    answer = client.post(f"/api/runs/{run_id}/recordings", json=TOLD)
    assert (answer.status_code, error_of(answer)) == (507, "no_room")
    assert "9:55" in Page(client.get(f"/runs/{run_id}")).text("h1")


def test_the_recording_of_a_deleted_run_is_refused(client, run_id):
    client.post(f"/runs/{run_id}/delete")
    answer = client.post(f"/api/runs/{run_id}/recordings", json=TOLD)
    assert (answer.status_code, error_of(answer)) == (410, "gone")


def test_a_recording_is_served_whole_with_headers_that_let_it_do_nothing(client, sent):
    answer = client.get("/recordings/take-1")
    assert answer.content == CONTENT
    assert answer.headers["content-type"] == "audio/webm"
    assert answer.headers["content-security-policy"] == FILE_POLICY
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["content-disposition"] == f'inline; filename="run-{sent}.webm"'


@pytest.mark.parametrize(
    ("asked", "status", "held"),
    [
        # RFC 9110, 14.1.2 and 15.5.17
        ("bytes=0-99", 206, CONTENT[:100]),
        ("bytes=100-", 206, CONTENT[100:]),
        ("bytes=-5", 206, CONTENT[-5:]),
        ("bytes=999999-", 416, None),
    ],
)
def test_a_player_can_ask_for_a_piece(client, sent, asked, status, held):
    answer = client.get("/recordings/take-1", headers={"Range": asked})
    assert answer.status_code == status
    assert held is None or answer.content == held


def test_what_has_not_arrived_completely_is_not_served(client, run_id):
    client.post(f"/api/runs/{run_id}/recordings", json=TOLD)
    client.put("/api/recordings/take-1/parts/0", content=CONTENT[:1000])
    assert client.get("/recordings/take-1").status_code == 404
    assert client.get("/recordings/take-1/chapters.vtt").status_code == 404
    assert "Not complete yet" in Page(client.get(f"/runs/{run_id}")).text(".recording")


def test_the_segments_are_chapters_to_be_tapped(client, sent):
    page = Page(client.get(f"/runs/{sent}"))
    taps = [(each.get("data-hear"), each.get("data-until")) for each in page.all("[data-hear]")]
    assert taps == [("0.0", "61.0"), ("61.0", "130.0"), ("130.0", "595.0")]
    assert page.texts("[data-hear]")[1] == "1:01 2. Segment s2"
    assert page.one("audio").get("src") == "/recordings/take-1"


def test_the_chapters_come_as_web_vtt(client, sent):
    answer = client.get("/recordings/take-1/chapters.vtt")
    assert answer.headers["content-type"] == "text/vtt; charset=utf-8"
    assert "00:01:01.000 --> 00:02:10.000\n2. Segment s2" in answer.text


def test_a_recording_is_deleted_only_after_a_question(client, sent):
    page = Page(client.get(f"/runs/{sent}?edit=recording-take-1"))
    assert "For 30 days it can be brought back" in page.text(".recording form")
    answer = client.post(page.one(".recording form").get("action"))
    assert (answer.status_code, answer.headers["location"]) == (303, f"/runs/{sent}")
    assert client.get("/recordings/take-1").status_code == 410
    assert Page(client.get(f"/runs/{sent}")).all(".recording") == []


def test_a_file_that_is_missing_is_told(client, sent, tmp_path):
    (file,) = (tmp_path / "recordings").iterdir()
    file.unlink()
    assert client.get("/recordings/take-1").status_code == 404
    assert "The file is missing" in Page(client.get(f"/runs/{sent}")).text(".recording")


def test_all_recordings_are_listed_with_what_they_take(client, sent):
    client.post(f"/runs/{sent}/delete")
    page = Page(client.get("/recordings"))
    assert "of a deleted run" in page.text(".row .about")
    confirm = Page(client.get("/recordings?edit=recording-take-1"))
    answer = client.post(confirm.one(".row form").get("action"))
    assert answer.headers["location"] == "/recordings"
    assert Page(client.get("/recordings")).all(".row") == []


def test_an_export_holds_no_recording(client, sent):
    exported = client.get("/routines/r1/export.json").text
    assert "take-1" not in exported
    assert "Recordings of runs stay here" in Page(client.get("/routines/r1/details")).text("main")


def test_what_can_be_done_with_a_recording_stands_together(client, sent):
    # A form ends the paragraph around it: what followed lay outside, each as wide as the page.
    acts = Page(client.get(f"/runs/{sent}")).texts(".recording .actions :is(button, a)")
    assert acts == [
        "Check what was said",
        "Save as a file",
        "Delete the recording",
        "All recordings",
    ]


def test_recording_can_be_switched_off(tmp_path):
    with app_in(tmp_path, recording_mb=0) as client:
        keep(client, make_routine())
        run_id = keep_run(client, events=())
        assert client.post(f"/api/runs/{run_id}/recordings", json=TOLD).status_code == 413
        page = Page(client.get(f"/runs/{run_id}/stage"))
        assert page.all("[data-part=recording-choice][hidden]")
