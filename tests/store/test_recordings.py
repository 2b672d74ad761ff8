"""Recordings as they arrive: in order, once, only what they were said to be, only while there is
room."""

import os
from dataclasses import replace
from pathlib import Path

import pytest

from server.domain.base.errors import Conflict, Gone, InvalidInput, NoRoom, NotFound, TooLarge
from server.store.annotating import delete_run
from server.store.runs import create_run
from server.store.uploads.media import KEPT_FREE, MediaFolder
from server.store.uploads.recordings import (
    Announced,
    announce_recording,
    append_part,
    delete_recording,
    every_recording,
    load_recording,
    run_recordings,
)
from tests.domain.base.test_media import MP4, WEBM
from tests.factories import NOW_MS, RULES
from tests.media_places import content_of, lay_behind, on_both_places

MOST = 1_000_000
PARTS = (WEBM + bytes(60), bytes(range(100)), b"the end")
SIZE = sum(map(len, PARTS))
TOLD = Announced("take-1", "sound", 120, 60_000, SIZE)


@pytest.fixture
def run_id(session, routine):
    return create_run(session, routine, RULES, NOW_MS)


@pytest.fixture
def folder(place_of):
    return place_of("recordings")


@pytest.fixture
def announce(session, folder, run_id):
    def told(told=TOLD, run_id=run_id, folder=folder):
        return announce_recording(session, folder, run_id, told, MOST, NOW_MS)

    return told


@pytest.fixture
def send(session, folder):
    def part(number, content=None, recording_id="take-1", folder=folder):
        content = PARTS[number] if content is None else content
        return append_part(session, folder, recording_id, number, content)

    return part


def on_disk(folder, recording):
    return content_of(folder, recording.file)


@on_both_places
def test_parts_in_their_order_make_the_recording(announce, send, folder, session, run_id):
    announce()
    last = [send(number) for number in range(3)][-1]
    assert (last.done, last.media_type) == (True, "audio/webm")
    assert on_disk(folder, last) == b"".join(PARTS)
    assert run_recordings(session, run_id) == [last]


def test_the_file_is_named_by_chance_and_is_its_owners_alone(announce, send, folder):
    announce()
    recording = send(0)
    assert recording.id not in recording.file
    assert len(recording.file) == 32
    assert folder.path(recording.file).stat().st_mode & 0o777 == 0o600


@on_both_places
def test_a_part_that_comes_twice_counts_once(announce, send, folder):
    announce()
    send(0)
    send(1)
    again = send(0)
    assert again.received_parts == 2
    send(2)
    assert on_disk(folder, send(2)) == b"".join(PARTS)


def test_a_part_before_its_time_is_refused_and_changes_nothing(announce, send):
    announce()
    send(0)
    with pytest.raises(Conflict, match="Part 1 comes first"):
        send(2)
    assert send(1).received_parts == 2


def test_announcing_again_tells_how_much_is_here(announce, send):
    announce()
    send(0)
    assert announce().received_parts == 1


@pytest.mark.parametrize("changed", [{"size_bytes": SIZE + 1}])
def test_an_id_stands_for_one_recording(announce, changed):
    announce()
    with pytest.raises(Conflict):
        announce(replace(TOLD, **changed))


@on_both_places
def test_a_crash_between_disk_and_database_leaves_no_double(announce, send, folder):
    announce()
    lay_behind(folder, send(0).file, PARTS[1] + bytes(500))
    send(1)
    assert on_disk(folder, send(2)) == b"".join(PARTS)


@on_both_places
@pytest.mark.parametrize("kept_bytes", [0, 50, len(PARTS[0]) - 1, None])
def test_a_file_shorter_than_was_counted_is_begun_anew_and_never_filled_up(
    announce, send, folder, kept_bytes, keep_only
):
    announce()
    send(0)
    keep_only(folder, send(1).file, kept_bytes)
    with pytest.raises(Conflict, match="sent anew"):
        send(2)
    assert announce().received_parts == 0
    last = [send(number) for number in range(3)][-1]
    assert (last.done, on_disk(folder, last)) == (True, b"".join(PARTS))


def test_a_whole_recording_that_lost_its_file_is_asked_for_again(announce, send, folder):
    announce()
    last = [send(number) for number in range(3)][-1]
    assert announce().done
    os.truncate(folder.path(last.file), SIZE - 1)
    assert (announce().received_parts, announce().done) == (0, False)


def test_the_name_of_a_new_file_is_on_disk_before_its_first_part_counts(
    announce, send, folder, monkeypatch
):
    synced = []
    sync = os.fsync

    def note(handle):
        synced.append(str(Path(f"/proc/self/fd/{handle}").readlink()))
        sync(handle)

    monkeypatch.setattr(os, "fsync", note)
    announce()
    file = str(folder.path(send(0).file))
    assert synced == [str(folder.folder.parent), file, str(folder.folder)]
    send(1)
    assert synced[3:] == [file]


@pytest.mark.parametrize("content", [b"<script>alert(1)</script>", b"MZ\x90", bytes(160)])
def test_what_is_no_sound_is_refused_before_it_is_kept(announce, send, folder, content):
    recording = announce()
    with pytest.raises(InvalidInput, match="no recording"):
        send(0, content)
    assert not folder.path(recording.file).exists()


def test_a_container_is_named_by_its_bytes_and_what_was_recorded(announce, send):
    announce(replace(TOLD, id="take-2", kind="video"))
    assert send(0, MP4, "take-2").media_type == "video/mp4"


@pytest.mark.parametrize("part", [b"", bytes(SIZE)])
def test_a_part_that_does_not_fit_what_was_announced_is_refused(announce, send, part):
    announce()
    send(0)
    with pytest.raises(TooLarge):
        send(1, part)


def test_a_recording_over_the_limit_is_refused_before_it_is_sent(announce):
    with pytest.raises(TooLarge, match="NINEFIFTY_RECORDING_MB"):
        announce(replace(TOLD, size_bytes=MOST + 1))


@pytest.mark.parametrize("free", [0, KEPT_FREE, KEPT_FREE + SIZE - 1])
def test_a_disk_that_would_get_too_full_takes_no_recording(announce, tmp_path, free):
    with pytest.raises(NoRoom):
        announce(folder=MediaFolder(tmp_path / "full", lambda _: free))


def test_a_disk_that_fills_up_on_the_way_stops_it_and_it_goes_on_later(
    announce, send, folder, tmp_path
):
    announce()
    send(0)
    with pytest.raises(NoRoom):
        send(1, folder=MediaFolder(folder.folder, lambda _: KEPT_FREE))
    send(1)
    assert on_disk(folder, send(2)) == b"".join(PARTS)


def test_a_disk_that_refuses_to_be_written_is_told_in_words(announce, send, folder):
    recording = announce()
    folder.path(recording.file).mkdir()
    with pytest.raises(NoRoom, match="could not be kept"):
        send(0)


def test_a_deleted_run_takes_no_recording_and_no_part(announce, send, session, run_id):
    announce()
    send(0)
    delete_run(session, run_id, NOW_MS)
    with pytest.raises(Gone):
        send(1)
    with pytest.raises(Gone):
        announce(replace(TOLD, id="take-2"))


def test_a_run_or_recording_that_nobody_knows_is_not_found(announce, send):
    with pytest.raises(NotFound):
        announce(run_id="nobody")
    with pytest.raises(NotFound):
        send(0, recording_id="nobody")


def test_a_deleted_recording_is_in_no_list(announce, send, session, run_id):
    announce()
    send(0)
    assert delete_recording(session, "take-1", NOW_MS) == run_id
    assert run_recordings(session, run_id) == every_recording(session) == []
    with pytest.raises(Gone):
        load_recording(session, "take-1")


def test_a_deleted_recording_is_not_brought_back_by_the_device_that_still_holds_it(
    announce, send, session
):
    announce()
    send(0)
    delete_recording(session, "take-1", NOW_MS)
    with pytest.raises(Gone):
        announce()
    with pytest.raises(Gone):
        send(1)


def test_recordings_of_deleted_runs_are_listed_so_that_they_can_go(announce, send, session, run_id):
    announce()
    announce(replace(TOLD, id="never-sent"))
    send(0)
    delete_run(session, run_id, NOW_MS)
    (kept,) = every_recording(session)
    assert (kept.recording.id, kept.run_deleted) == ("take-1", True)
