import json

import pytest

from server.store.uploads import media as media
from server.store.uploads import tracks
from server.web.frame.layers.request_limits import MB, most_bytes
from tests.domain.base.test_audio import wav
from tests.factories import make_routine
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

SOUND = wav(2)
PLACE = "/music/r1"


@pytest.fixture
def path(client):
    return keep(client)


def upload(client, content=SOUND, name="Low tide.wav", **more):
    return client.post(PLACE, files={"music": (name, content)}, **more)


def address(client, path):
    return Page(client.get(f"{path}/rehearse")).one("audio").get("src")


def files(tmp_path):
    folder = tmp_path / "music"
    return sorted(file.name for file in folder.iterdir()) if folder.exists() else []


def fault(answer):
    page = Page(answer)
    return page.status, page.fault("music", PLACE)


def test_a_track_is_taken_in_and_comes_back_as_it_was(client, path):
    answer = upload(client)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{path}/rehearse")
    played = client.get(address(client, path))
    assert played.content == SOUND
    assert played.headers["content-type"] == "audio/wav"
    assert "immutable" in played.headers["cache-control"]
    assert "Low tide.wav" in Page(client.get(f"{path}/rehearse")).text(".music")


def test_a_player_may_ask_for_a_part_of_it(client, path):
    upload(client)
    part = client.get(address(client, path), headers={"Range": "bytes=100-199"})
    assert (part.status_code, part.content) == (206, SOUND[100:200])
    assert part.headers["content-range"] == f"bytes 100-199/{len(SOUND)}"
    beyond = client.get(address(client, path), headers={"Range": f"bytes={len(SOUND)}-"})
    assert beyond.status_code == 416


def test_media_may_come_from_here_and_from_memory_only(client, path):
    policy = client.get(f"{path}/rehearse").headers["content-security-policy"]
    assert "media-src 'self' blob:;" in policy


def test_another_track_takes_its_place_and_the_first_file_goes(client, path, tmp_path):
    upload(client)
    first = address(client, path)
    upload(client, name="Wind.wav")
    assert client.get(first).status_code == 404
    assert len(files(tmp_path)) == 1


def test_deleted_music_is_gone_from_page_and_disk(client, path, tmp_path):
    upload(client)
    where = address(client, path)
    assert client.post(f"{PLACE}/delete").status_code == 303
    assert Page(client.get(f"{path}/rehearse")).all("audio") == []
    assert client.get(where).status_code == 404
    assert files(tmp_path) == []


def test_what_is_no_sound_is_refused_beside_the_field_whatever_it_is_called(client, path, tmp_path):
    status, message = fault(upload(client, b"%PDF-1.7 ...", "song.mp3"))
    assert (status, message.startswith("This is no sound file.")) == (422, True)
    assert files(tmp_path) == []


def test_an_upload_without_a_file_is_told_so(client, path):
    assert fault(client.post(PLACE, data={"music": ""})) == (422, "Choose a file first.")


def test_a_track_just_too_large_is_refused_beside_the_field(client, path, tmp_path, monkeypatch):
    monkeypatch.setattr(tracks, "MOST_BYTES", len(SOUND) - 1)
    status, message = fault(upload(client))
    assert (status, message.startswith("A track may have")) == (422, True)
    assert files(tmp_path) == []


def test_300_megabytes_are_refused_before_they_are_read(client, path, tmp_path):
    read = []

    def pieces():
        for _ in range(300):
            read.append(1)
            yield bytes(MB)

    headers = {"Content-Length": str(300 * MB), "Content-Type": "multipart/form-data; boundary=x"}
    answer = client.post(PLACE, content=pieces(), headers=headers)
    assert (answer.status_code, Page(answer).text("h1")) == (413, "Too large")
    assert "music 64 MB" in answer.text
    assert files(tmp_path) == []


def test_a_track_of_the_limit_fits_into_the_request(client):
    assert most_bytes(PLACE) > tracks.MOST_BYTES


def test_a_full_disk_refuses_and_keeps_the_track_that_was_there(
    client, path, tmp_path, monkeypatch
):
    upload(client)
    where = address(client, path)
    monkeypatch.setattr(media.shutil, "disk_usage", lambda _: Full)
    status, message = fault(upload(client))
    assert (status, "too full" in message) == (422, True)
    assert client.get(where).content == SOUND
    assert len(files(tmp_path)) == 1


class Full:
    free = 1000


def test_a_full_disk_does_not_hinder_a_run(client, path, monkeypatch):
    monkeypatch.setattr(media.shutil, "disk_usage", lambda _: Full)
    assert client.post(f"{path}/rehearse").status_code == 303


def test_a_disk_that_fills_while_the_track_arrives_refuses_it(client, path, monkeypatch):
    def full(*_args, **_more):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("starlette.formparsers.SpooledTemporaryFile", full)
    assert fault(upload(client))[0] == 422


def test_music_for_no_routine_is_not_kept(client, path, tmp_path):
    answer = client.post("/music/nobody", files={"music": ("a.wav", SOUND)})
    assert answer.status_code == 404
    assert files(tmp_path) == []


def test_music_whose_file_was_lost_is_told_of(client, path, tmp_path):
    upload(client)
    where = address(client, path)
    for name in files(tmp_path):
        (tmp_path / "music" / name).unlink()
    answer = client.get(where)
    assert (answer.status_code, "Upload it again" in answer.text) == (404, True)


def test_a_name_with_a_path_in_it_leads_nowhere(client, path, tmp_path):
    upload(client, name="../../evil.wav")
    assert len(files(tmp_path)) == 1
    assert not (tmp_path.parent / "evil.wav").exists()


def test_another_site_cannot_upload(client, path):
    answer = upload(client, headers={"Origin": "http://elsewhere.example"})
    assert answer.status_code == 403


def test_the_stage_knows_where_its_music_is(client, path):
    run_id = keep_run(client, make_routine(), [])
    stage = f"/runs/{run_id}/stage"

    def music():
        return json.loads(Page(client.get(stage)).one("script#run-data").text)["music"]

    assert music() is None
    upload(client)
    assert music() == {"name": "Low tide.wav", "url": address(client, path)}
