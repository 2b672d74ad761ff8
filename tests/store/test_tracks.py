import io
import resource
import signal

import pytest

from server.domain.base.errors import InvalidInput, NoRoom, NotFound, TooLarge
from server.store.routines import change_of
from server.store.uploads import tracks
from server.store.uploads.media import KEPT_FREE, MB, MediaFolder
from server.store.uploads.tracks import (
    Track,
    load_track,
    remove_track,
    set_track,
    take_track,
    track_of,
)
from tests.domain.base.test_audio import wav
from tests.media_places import content_of, on_both_places

TRACK = Track("k1", "Tide.wav", "audio/wav", 1644)


@pytest.fixture
def folder(place_of):
    return place_of("music")


def take(folder, content):
    return take_track(folder, io.BytesIO(content), "Tide.wav")


@pytest.fixture
def small_disk():
    """No file can grow beyond 4 KB: what the system then says is what a full disk says."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    deaf = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, before[1]))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, before)
    signal.signal(signal.SIGXFSZ, deaf)


def kept_files(folder):
    return [name for name, _ in folder.files()]


@on_both_places
def test_a_track_is_kept_whole_under_a_name_that_says_nothing(folder):
    content = wav(0.5)
    track = take(folder, content)
    assert (track.name, track.media_type, track.size) == ("Tide.wav", "audio/wav", len(content))
    assert kept_files(folder) == [track.key]
    assert content_of(folder, track.key) == content
    assert list(folder.files()) == [(track.key, len(content))]


def test_two_tracks_never_share_a_name(folder):
    assert len({take(folder, wav()).key for _ in range(20)}) == 20


@on_both_places
def test_what_is_no_sound_is_refused_and_leaves_nothing(folder):
    with pytest.raises(InvalidInput, match=r"no sound file. Choose MP3, M4A"):
        take(folder, b"<!doctype html>")
    assert kept_files(folder) == []


@on_both_places
def test_what_is_too_large_is_refused_and_leaves_nothing(folder, monkeypatch):
    monkeypatch.setattr(tracks, "MOST_BYTES", 5 * MB)
    with pytest.raises(TooLarge, match="A track may have"):
        take(folder, wav() + bytes(5 * MB))
    assert kept_files(folder) == []


def test_a_track_of_just_the_limit_is_taken(folder, monkeypatch):
    monkeypatch.setattr(tracks, "MOST_BYTES", len(wav()))
    assert take(folder, wav()).size == len(wav())


def test_a_disk_that_fills_up_meanwhile_refuses_and_leaves_nothing(folder, small_disk):
    with pytest.raises(NoRoom, match="disk of the computer that keeps the app is full"):
        take(folder, wav(5))
    assert kept_files(folder) == []


def test_what_a_crash_left_of_an_upload_is_cleared_and_nothing_else(folder, tmp_path):
    key = take(folder, wav()).key
    (tmp_path / "music" / "0123.part").write_bytes(b"RIFF")
    folder.clear()
    assert kept_files(folder) == [key]


def test_room_for_marks_is_never_given_to_music(tmp_path):
    folder = MediaFolder(tmp_path / "music", lambda _: KEPT_FREE + 1000)
    folder.require_room(1000)
    with pytest.raises(NoRoom, match="too full"):
        folder.require_room(1001)


def test_a_routine_has_one_track_and_the_old_one_is_named_for_deleting(session, routine):
    assert track_of(session, routine.id) is None
    assert set_track(session, routine.id, TRACK) is None
    assert set_track(session, routine.id, Track("k2", "Wind.mp3", "audio/mpeg", 9)) == "k1"
    assert track_of(session, routine.id).name == "Wind.mp3"
    assert remove_track(session, routine.id) == "k2"
    assert (track_of(session, routine.id), remove_track(session, routine.id)) == (None, None)


def test_music_counts_as_a_change_of_what_is_shown(session, routine):
    before = change_of(session, routine.id)
    set_track(session, routine.id, TRACK)
    remove_track(session, routine.id)
    assert change_of(session, routine.id) == before + 2


def test_a_track_is_found_only_under_its_own_key(session, routine):
    set_track(session, routine.id, TRACK)
    assert load_track(session, routine.id, "k1") == TRACK
    for routine_id, key in ((routine.id, "k2"), (routine.id, "../ninefifty.db"), ("r2", "k1")):
        with pytest.raises(NotFound):
            load_track(session, routine_id, key)
