"""A backup comes back beside what was there, whole or not at all."""

from dataclasses import replace
from datetime import datetime

import pytest

from server.keeping import restoring
from server.keeping.archive import FOLDERS, write_archive
from server.keeping.commands import bring_back
from server.keeping.damage import require_usable
from server.keeping.one_server import alone_with
from server.keeping.restoring import restore
from server.keeping.trouble import Trouble
from server.store.copying import connected, copy_database

NOW = datetime(2026, 11, 28, 9, 47)


def state(folder):
    """What a data folder holds: names, and content where that is told apart by it."""
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


@pytest.fixture
def file(settings, tmp_path):
    """A backup; then something else came in the place of all that it holds."""
    write_archive(settings, tmp_path / "b.zip")
    settings.database_file.write_text("later")
    (settings.recordings_folder / "ab").write_text("later")
    (settings.recordings_folder / "cd").write_text("newer")
    return tmp_path / "b.zip"


def test_a_backup_comes_back_and_what_was_there_is_kept_under_a_dated_name(settings, file):
    restored = restore(settings, file, NOW)
    require_usable(settings)
    held = state(settings.data_dir)
    assert held["recordings/ab"] == b"ab" * 5000
    assert "recordings/cd" not in held
    assert restored.before.name == "replaced-2026-11-28-094700"
    assert held["replaced-2026-11-28-094700/ninefifty.db"] == b"later"
    assert held["replaced-2026-11-28-094700/recordings/cd"] == b"newer"


def test_a_second_restore_of_the_same_second_has_a_folder_of_its_own(settings, file):
    first, second = restore(settings, file, NOW), restore(settings, file, NOW)
    assert first.before != second.before
    assert state(first.before)["ninefifty.db"] == b"later"


def test_what_a_backup_does_not_hold_stays_in_its_place(settings, tmp_path):
    write_archive(settings, tmp_path / "small.zip", folders=FOLDERS[:-1])
    (settings.recordings_folder / "cd").write_text("newer")
    restore(settings, tmp_path / "small.zip", NOW)
    assert {"recordings/ab", "recordings/cd"} <= set(state(settings.data_dir))


def test_a_bare_database_of_an_older_version_comes_back_too(settings, tmp_path):
    copy_database(settings.database_file, tmp_path / "monday.db")
    settings.database_file.write_text("later")
    restore(settings, tmp_path / "monday.db", NOW)
    require_usable(settings)
    assert "music/1f" in state(settings.data_dir)


@pytest.mark.parametrize("content", [b"", b"a text", b"SQLite format 3\0" + bytes(5000)])
def test_what_is_no_backup_changes_nothing(settings, tmp_path, content):
    (tmp_path / "other").write_bytes(content)
    before = state(settings.data_dir)
    with pytest.raises(Trouble):
        restore(settings, tmp_path / "other", NOW)
    assert state(settings.data_dir) == before


def test_a_backup_of_a_later_version_changes_nothing(settings, tmp_path):
    copy_database(settings.database_file, tmp_path / "later.db")
    with connected(tmp_path / "later.db") as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    before = state(settings.data_dir)
    with pytest.raises(Trouble, match=r"of a later version of the app \(step 9999\)"):
        restore(settings, tmp_path / "later.db", NOW)
    assert state(settings.data_dir) == before


def test_a_damaged_backup_changes_nothing(settings, file):
    content = bytearray(file.read_bytes())
    content[len(content) // 2] ^= 1
    file.write_bytes(content)
    before = state(settings.data_dir)
    with pytest.raises(Trouble, match="is damaged"):
        restore(settings, file, NOW)
    assert state(settings.data_dir) == before


def test_a_power_cut_on_the_way_is_asked_about_at_the_next_start(settings, file, monkeypatch):
    monkeypatch.setattr(restoring, "_move_in", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        restore(settings, file, NOW)
    with pytest.raises(Trouble, match="The database is missing"):
        require_usable(settings)


def test_nothing_is_brought_back_under_a_running_app(settings, file):
    with alone_with(settings.data_dir) as hold:
        hold.say_where("http://localhost:8000")
        with pytest.raises(Trouble, match="open http://localhost:8000"):
            bring_back(settings, file)


def test_the_terminal_says_what_came_back_and_what_is_next(settings, file, capsys):
    bring_back(settings, file)
    told = capsys.readouterr().out
    assert f"Restored {file}, of " in told
    assert "What was there before is kept in " in told
    assert "Delete that folder once all is as you want it." in told
    assert "Start the app as usual." in told


def test_where_nothing_was_moved_aside_no_folder_is_named_to_delete(settings, file, capsys):
    elsewhere = replace(settings, data_dir=settings.data_dir / "elsewhere")
    bring_back(elsewhere, file)
    told = capsys.readouterr().out
    assert f"to {elsewhere.data_dir}." in told
    assert "Delete" not in told
