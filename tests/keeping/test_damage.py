"""Every way in which a database can be unfit is told in a sentence, and nothing is changed."""

import sqlite3
from datetime import datetime

import pytest

from server.keeping.archive import write_archive
from server.keeping.damage import begin_anew, require_usable
from server.keeping.trouble import Trouble
from server.settings import Settings

NOW = datetime(2026, 11, 28, 9, 47)


def as_text(path):
    path.write_text("Dear diary, today")


def as_folder(path):
    path.unlink()
    path.mkdir()


def as_zeros(path):
    path.write_bytes(bytes(path.stat().st_size))


def as_cut(path):
    path.write_bytes(path.read_bytes()[:-8192])


def as_holed(path):
    content = bytearray(path.read_bytes())
    content[8192:16384] = bytes(8192)
    path.write_bytes(content)


def as_empty(path):
    path.write_bytes(b"")


def as_missing(path):
    path.unlink()


HARMS = {
    as_text: "is no database: it begins with the text “Dear diary, today”",
    as_folder: "In the place of the database there is a folder",
    as_zeros: "it begins with zeros only",
    as_cut: "is damaged: it is cut, ",
    as_holed: "is damaged: ",
    as_empty: "The database is empty",
    as_missing: "The database is missing",
}


def told(settings):
    with pytest.raises(Trouble) as caught:
        require_usable(settings)
    return str(caught.value)


@pytest.mark.parametrize("harm", HARMS, ids=lambda harm: harm.__name__)
def test_an_unfit_database_is_told_with_what_is_left_and_nothing_is_changed(settings, harm):
    harm(settings.database_file)
    before = sorted(settings.data_dir.rglob("*"))
    words = told(settings)
    assert HARMS[harm] in words
    assert "1 recording, 1 uploaded file" in words
    assert sorted(settings.data_dir.rglob("*")) == before


def test_the_newest_good_copy_is_named_with_the_command_that_brings_it_back(settings):
    settings.backups_folder.mkdir()
    good = settings.backups_folder / "nightly-2026-11-26-0300.zip"
    write_archive(settings, good)
    (settings.backups_folder / "nightly-2026-11-27-0300.zip").write_bytes(b"broken")
    as_cut(settings.database_file)
    assert f"./run restore --data {settings.data_dir} {good}" in told(settings)


def test_without_a_copy_that_is_said(settings):
    as_zeros(settings.database_file)
    assert f"There is no good copy in {settings.backups_folder}." in told(settings)


def test_a_sound_database_and_a_first_start_pass(settings, tmp_path):
    require_usable(settings)
    (tmp_path / "first").mkdir()
    require_usable(Settings(data_dir=tmp_path / "first"))


def test_a_lock_of_another_program_is_told(settings, monkeypatch):
    monkeypatch.setattr("server.keeping.damage.PATIENCE_S", 0.01)
    other = sqlite3.connect(settings.database_file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    assert "Another program holds" in told(settings)
    other.close()


def test_beginning_anew_keeps_what_could_not_be_used(settings):
    as_cut(settings.database_file)
    damaged = settings.database_file.read_bytes()
    aside = begin_anew(settings, NOW)
    assert (aside / "ninefifty.db").read_bytes() == damaged
    assert not settings.database_file.exists()


def test_nothing_is_begun_anew_over_a_sound_database(settings):
    before = settings.database_file.read_bytes()
    with pytest.raises(Trouble, match="is sound"):
        begin_anew(settings, NOW)
    assert settings.database_file.read_bytes() == before
