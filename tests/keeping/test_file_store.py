"""Backups of music and recordings that lie in an S3-compatible store, and a start without one."""

import json
import sys
from dataclasses import replace
from datetime import datetime
from zipfile import ZipFile

import pytest

from server.keeping.archive import contents_of, write_archive
from server.keeping.commands import bring_back
from server.keeping.file_store import require_file_store
from server.keeping.nightly import Nightly
from server.keeping.restoring import restore
from server.keeping.trouble import Trouble
from server.store.uploads.bucket import bucket_at
from tests.bucket_server import ADDRESS

NOW = datetime(2026, 11, 28, 9, 47)
LATER = datetime(2026, 11, 29, 9, 47)
UPLOADED = {"music/1f", "recordings/ab"}


@pytest.fixture
def far(settings, bucket):
    """The settings of `settings`, but with files in a bucket that is empty yet."""
    return replace(settings, files=ADDRESS)


@pytest.fixture
def moved(settings, far, tmp_path):
    """The same, after a backup of the folder was restored into the bucket."""
    write_archive(settings, tmp_path / "folder.zip")
    for name in UPLOADED:
        (settings.data_dir / name).unlink()
    restore(far, tmp_path / "folder.zip", NOW)
    return far


def test_a_backup_of_a_folder_is_restored_into_a_bucket(settings, moved, bucket):
    assert bucket.content("recordings", "ab") == b"ab" * 5000
    assert bucket.content("music", "1f") == b"1f" * 5000
    assert not [name for name in UPLOADED if (settings.data_dir / name).exists()]
    assert (settings.data_dir / "https" / "authority-key.pem").exists()


def test_a_backup_holds_what_lies_in_the_bucket_and_goes_back_into_a_folder(
    settings, moved, tmp_path
):
    contents = write_archive(moved, tmp_path / "bucket.zip")
    assert set(contents.files) >= UPLOADED
    restore(settings, tmp_path / "bucket.zip", LATER)
    assert (settings.recordings_folder / "ab").read_bytes() == b"ab" * 5000


def test_a_restore_replaces_nothing_in_the_bucket(moved, bucket, tmp_path):
    write_archive(moved, tmp_path / "bucket.zip")
    bucket.objects["ninefifty/recordings/cd/000000000000000"] = b"newer"
    bucket.asked.clear()
    restore(moved, tmp_path / "bucket.zip", LATER)
    assert bucket.names("recordings") == {"ab", "cd"}
    assert {how for how, _ in bucket.asked} == {"GET"}  # What is there is not sent again.


def test_a_nightly_backup_lists_what_lies_in_the_bucket_and_fetches_none_of_it(moved, bucket):
    bucket.asked.clear()
    nightly = Nightly(moved, free=lambda _: 10**12)
    made = contents_of(nightly.look(NOW))
    assert set(made.files) == {"ninefifty.db", "https/authority-key.pem"}
    assert (made.store, made.beside) == (ADDRESS, {"music/1f": 10_000, "recordings/ab": 10_000})
    assert all("list-type" in path for _, path in bucket.asked)
    assert nightly.last().leaves_out == f"2 files in {ADDRESS}: have that store keep copies too"
    assert nightly.look(LATER) is None  # Nothing has changed.


def test_without_its_store_a_nightly_backup_is_made_all_the_same_and_once_more_with_it(
    moved, bucket
):
    nightly = Nightly(moved, free=lambda _: 10**12)
    bucket.is_away = True
    assert contents_of(nightly.look(NOW)).beside is None
    assert (nightly.trouble, nightly.last().leaves_out[:9]) == (None, "the files")
    bucket.is_away = False
    _rested(moved)
    assert len(contents_of(nightly.look(LATER)).beside) == 2


def test_a_backup_of_a_folder_says_nothing_of_a_store_and_is_read_by_older_versions(
    settings, tmp_path
):
    write_archive(settings, tmp_path / "folder.zip")
    with ZipFile(tmp_path / "folder.zip") as archive:
        listed = json.loads(archive.read("contents.json"))
    assert not {"store", "beside"} & set(listed)


def test_a_restore_says_whether_what_the_backup_lists_is_still_in_the_store(moved, bucket, capsys):
    nightly = Nightly(moved, free=lambda _: 10**12).look(NOW)
    bring_back(moved, nightly)
    assert f"none of the 2 files that lay in {ADDRESS} when it was made: all that it lists is" in (
        capsys.readouterr().out
    )
    # One went, of the other a part.
    del bucket.objects["ninefifty/music/1f/000000000000000"]
    bucket.objects["ninefifty/recordings/ab/000000000000000"] = b"ab"
    bring_back(moved, nightly)
    said = capsys.readouterr().out
    assert f"Of these 2 are not in {ADDRESS}: music/1f, recordings/ab." in said
    bucket.is_away = True
    bring_back(moved, nightly)
    assert "cannot be asked now" in capsys.readouterr().out


def test_a_backup_with_a_store_goes_into_a_folder_and_says_what_is_not_there(
    moved, settings, capsys
):
    bring_back(settings, Nightly(moved, free=lambda _: 10**12).look(NOW))
    assert "names no store: music/1f, recordings/ab." in capsys.readouterr().out


def _rested(settings):
    """Let a store that failed be asked again at once."""
    bucket_at(settings.files).rests_until_s = 0.0


def test_what_cannot_be_fetched_or_put_is_told_and_changes_nothing(moved, bucket, tmp_path):
    write_archive(moved, tmp_path / "bucket.zip")
    database = moved.database_file.read_bytes()
    bucket.is_away = True
    with pytest.raises(Trouble, match="cannot be reached"):
        write_archive(moved, tmp_path / "other.zip")
    with pytest.raises(Trouble, match="cannot be reached"):
        restore(moved, tmp_path / "bucket.zip", LATER)
    assert not (tmp_path / "other.zip").exists()
    assert moved.database_file.read_bytes() == database


def test_a_start_says_what_the_store_needs(far, monkeypatch):
    require_file_store(far)
    monkeypatch.delenv("AWS_ENDPOINT_URL")
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", "")
    with pytest.raises(Trouble, match="AWS_ENDPOINT_URL, AWS_SECRET_ACCESS_KEY must say"):
        require_file_store(far)
    monkeypatch.delitem(sys.modules, "server.store.uploads.bucket")
    monkeypatch.setitem(sys.modules, "obstore.store", None)
    with pytest.raises(Trouble, match="pip install"):
        require_file_store(far)


def test_a_start_without_its_store_is_told_and_goes_on(far, bucket, caplog):
    bucket.is_away = True
    require_file_store(far)
    assert "store of files failed" in caplog.text
