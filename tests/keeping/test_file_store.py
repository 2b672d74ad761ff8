"""Backups of music and recordings that lie in an S3-compatible store, and a start without one."""

import sys
from dataclasses import replace
from datetime import datetime

import pytest

from server.keeping.archive import contents_of, write_archive
from server.keeping.file_store import require_file_store
from server.keeping.nightly import Nightly
from server.keeping.restoring import restore
from server.keeping.trouble import Trouble
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


def test_a_nightly_backup_leaves_the_bucket_alone(moved, bucket):
    bucket.asked.clear()
    nightly = Nightly(moved, free=lambda _: 10**12)
    made = nightly.look(NOW)
    assert set(contents_of(made).files) == {"ninefifty.db", "https/authority-key.pem"}
    assert bucket.asked == []
    assert nightly.look(LATER) is None  # Nothing has changed.


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
