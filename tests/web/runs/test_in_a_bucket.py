"""Uploaded files in an S3-compatible store: sent to one server, gone on with at another, played in
pieces, deleted; and what is said while that store is away."""

from contextlib import ExitStack

import pytest

from server.store.lost.deleted import KEPT_MS
from server.store.lost.forgetting import forget_old
from server.store.uploads import bucket as store
from server.store.uploads.media_place import place_at
from tests.bucket_server import ADDRESS
from tests.domain.base.test_audio import wav
from tests.domain.base.test_photographs import jpeg
from tests.factories import NOW_MS, make_events, make_routine
from tests.table import table
from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.runs.test_recordings import CONTENT, TOLD, error_of, send
from tests.web.shelf import keep, keep_run

PARTS = CONTENT[:1000], CONTENT[1000:]
HERE = "/api/recordings/take-1/parts"


@pytest.fixture
def servers(tmp_path, bucket):
    """Two servers over one database and one bucket."""
    with ExitStack() as held:
        yield [held.enter_context(app_in(tmp_path, files=ADDRESS)) for _ in range(2)]


@pytest.fixture
def client(servers):
    return servers[0]


@pytest.fixture
def run_id(client):
    keep(client, make_routine())
    return keep_run(client, events=make_events({"s1": 61, "s2": 130}, total_s=595))


@pytest.fixture
def sent(client, run_id):
    """A run with a recording that has arrived."""
    assert send(client, run_id).json() == {"parts": 2, "done": True}
    return run_id


@pytest.fixture
def impatient(monkeypatch):
    """After a failure the store is asked again at once."""
    monkeypatch.setattr(store, "REST_S", 0.0)


def test_a_recording_begun_at_one_server_goes_on_at_another(servers, run_id, bucket, tmp_path):
    first, second = servers
    told = f"/api/runs/{run_id}/recordings"
    assert first.post(told, json=TOLD).json() == {"parts": 0, "done": False}
    assert first.put(f"{HERE}/0", content=PARTS[0]).json() == {"parts": 1, "done": False}
    assert second.post(told, json=TOLD).json() == {"parts": 1, "done": False}
    assert second.put(f"{HERE}/1", content=PARTS[1]).json() == {"parts": 2, "done": True}
    for each in servers:
        assert each.get("/recordings/take-1").content == CONTENT
    assert [len(bucket.objects[key]) for key in sorted(bucket.objects)] == [*map(len, PARTS)]
    assert not (tmp_path / "recordings").exists()


def test_a_part_that_was_put_but_never_counted_counts_once(servers, run_id, bucket):
    first, second = servers
    first.post(f"/api/runs/{run_id}/recordings", json=TOLD)
    first.put(f"{HERE}/0", content=PARTS[0])
    (key,) = bucket.objects
    # What a worker leaves that is killed before its answer.
    bucket.objects[f"{key[:-15]}{len(PARTS[0]):015d}"] = PARTS[1] + b"more"
    assert second.put(f"{HERE}/1", content=PARTS[1]).json()["done"]
    assert second.get("/recordings/take-1").content == CONTENT


def test_what_lies_behind_a_gap_is_no_part_of_the_recording(client, sent, bucket):
    del bucket.objects[min(bucket.objects)]
    assert client.get("/recordings/take-1").status_code == 404
    assert "The file is missing" in Page(client.get(f"/runs/{sent}")).text(".recording")
    assert send(client, sent).json()["done"]
    assert client.get("/recordings/take-1").content == CONTENT


def test_nobody_waits_to_write_while_the_store_is_asked(client, sent, bucket):
    lock = client.app.state.database._write_lock
    waited = []
    bucket.meanwhile = lambda: waited.append(lock.locked())
    send(client, sent, id="take-2")
    client.post(f"/api/runs/{sent}/recordings", json=TOLD)
    client.post("/recordings/take-1/delete")
    client.post("/recordings/take-1/restore")
    client.post("/recordings/take-1/delete")
    client.post("/recordings/take-1/forget")
    assert len(bucket.names("recordings")) == 1
    assert waited
    assert not any(waited)


WHOLE = len(CONTENT)


@table(
    "asked, start, stop",
    [
        # RFC 9110, 13.1.5, 14.1.2, 14.2 and 15.5.17
        (None, None, None),
        ("bytes=0-99", 0, 100),
        ("bytes=990-1009", 990, 1010),
        ("bytes=100-", 100, WHOLE),
        ("bytes=-5", WHOLE - 5, WHOLE),
        ("bytes=2000-999999", 2000, WHOLE),
        ("bytes=999999-", 0, 0),
        ("bytes=-0", 0, 0),
        ("bytes=9-3", None, None),
        ("bytes=0-1,5-6", None, None),
        ("pages=1-2", None, None),
    ],
)
def test_a_player_can_ask_for_a_piece(client, sent, asked, start, stop):
    headers = {"Range": asked} if asked else {}
    answer = client.get("/recordings/take-1", headers=headers)
    status = 200 if start is None else 206 if stop else 416
    held = CONTENT[start:stop]
    assert (answer.status_code, answer.content) == (status, held)
    if status == 206:
        assert answer.headers["content-range"] == f"bytes {start}-{stop - 1}/{WHOLE}"
    if status == 416:
        assert answer.headers["content-range"] == f"bytes */{WHOLE}"
    else:
        assert answer.headers["content-type"] == "audio/webm"
        assert answer.headers["accept-ranges"] == "bytes"
        head = client.head("/recordings/take-1", headers=headers)
        assert head.headers["content-length"] == str(len(held))
        old = client.get("/recordings/take-1", headers={**headers, "If-Range": '"another"'})
        assert (old.status_code, old.content) == (200, CONTENT)


def test_what_is_deleted_goes_from_the_bucket_in_its_time(client, sent, bucket):
    send(client, sent, id="take-2")
    client.post("/recordings/take-1/delete")
    client.post("/recordings/take-2/delete")
    assert len(bucket.names("recordings")) == 2
    client.post("/recordings/take-1/forget")
    assert len(bucket.names("recordings")) == 1
    places = [place_at(ADDRESS, client.app.state.settings.data_dir / name) for name in KINDS]
    forget_old(client.app.state.database, *places, NOW_MS + KEPT_MS + 1)
    assert bucket.objects == {}
    bucket.asked.clear()
    forget_old(client.app.state.database, *places, NOW_MS + KEPT_MS + 1)
    assert bucket.asked == []  # The list of all that was ever deleted grows for years.
    assert client.post("/recordings/take-2/restore").status_code == 410


KINDS = ("recordings", "music")


def music(client):
    return client.post("/music/r1", files={"music": ("Low tide.wav", wav(2))})


def test_music_and_the_photograph_lie_there_too(servers, run_id, bucket):
    first, second = servers
    assert music(first).status_code == 303
    assert first.post(
        "/photographs/r1", files={"photograph": ("bar.jpg", jpeg(), "image/jpeg")}
    ).status_code == 303  # fmt: skip
    address = Page(second.get("/routines/r1/rehearse")).one("audio").get("src")
    piece = second.get(address, headers={"Range": "bytes=100-199"})
    assert (piece.status_code, piece.content) == (206, wav(2)[100:200])
    assert "immutable" in piece.headers["cache-control"]
    assert {bucket.content("music", name) for name in bucket.names("music")} == {wav(2), jpeg()}
    music(first)
    first.post("/photographs/r1/delete")
    assert len(bucket.names("music")) == 1
    first.post("/music/r1/delete")
    assert second.get(address).status_code == 404
    assert bucket.objects == {}


def test_the_sound_of_a_take_arrives_there_is_played_and_goes(servers, run_id, bucket):
    first, second = servers
    content = wav(2)
    sound = {"kind": "sound", "size_bytes": len(content), "lasts_ms": 2000}
    told = first.post("/api/routines/r1/takes", json={"name": "a.wav", "sound": sound})
    take = told.json()["id"]
    first.put(f"/api/takes/{take}/parts/0", content=content[:1000])
    assert second.post(f"/api/takes/{take}/sound", json=sound).json()["parts"] == 1
    assert second.put(f"/api/takes/{take}/parts/1", content=content[1000:]).json()["done"]
    piece = first.get(f"/takes/{take}/sound", headers={"Range": "bytes=900-1099"})
    assert (piece.status_code, piece.content) == (206, content[900:1100])
    first.post(f"/takes/{take}/delete")
    assert first.post(f"/takes/{take}/restore").status_code == 303
    assert first.get(f"/takes/{take}").status_code == 200
    first.post(f"/takes/{take}/delete")
    assert first.post(f"/takes/{take}/forget").status_code == 303
    assert bucket.objects == {}


def test_a_take_whose_file_has_no_name_any_more_takes_no_other_with_it(client, sent, bucket):
    held = dict(bucket.objects)
    place = place_at(ADDRESS, client.app.state.settings.data_dir / "recordings")
    place.remove("")
    assert (bucket.objects, place.size("")) == (held, None)


def test_while_the_store_is_away_that_is_said_and_nothing_is_lost(client, sent, bucket, impatient):
    told = {**TOLD, "id": "take-2"}
    client.post(f"/api/runs/{sent}/recordings", json=told)
    client.put("/api/recordings/take-2/parts/0", content=PARTS[0])
    music(client)
    held = dict(bucket.objects)
    bucket.is_away = True
    for answer in (
        client.put("/api/recordings/take-2/parts/1", content=PARTS[1]),
        client.post(f"/api/runs/{sent}/recordings", json=told),
    ):
        assert (answer.status_code, error_of(answer)) == (503, "unreachable")
        assert "store of files cannot be reached" in answer.json()["error"]["message"]
    assert client.get("/recordings/take-1").status_code == 503
    refused = Page(music(client))
    assert refused.status == 503
    assert "store of files cannot be reached" in refused.fault("music", "/music/r1")
    shown = Page(client.get(f"/runs/{sent}"))
    assert shown.status == 200
    assert [each for each in shown.texts(".recording") if "store of files does not answer" in each]
    assert Page(client.get("/recordings")).status == 200
    ready = client.get("/readyz")
    assert (ready.status_code, ready.json()["files"]) == (200, "cannot be reached")
    bucket.is_away = False
    assert client.get("/readyz").json()["files"] == "ok"
    assert bucket.objects == held
    assert client.put("/api/recordings/take-2/parts/1", content=PARTS[1]).json()["done"]
    assert client.get("/recordings/take-2").content == CONTENT


def test_after_a_failure_the_store_is_left_alone_for_a_moment(client, sent, bucket):
    bucket.is_away = True
    client.get(f"/runs/{sent}")
    bucket.asked.clear()
    assert client.get("/recordings/take-1").status_code == 503
    assert bucket.asked == []
