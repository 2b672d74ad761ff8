"""A backup holds everything, is written while others write, and is read again before it counts.

Outside check: what is in it is read with the zip and hash modules alone.
"""

import hashlib
import json
import resource
import zipfile
from datetime import datetime

import pytest

from server.keeping import archive
from server.keeping.archive import read_archive, unpack, write_archive
from server.keeping.commands import back_up
from server.keeping.restoring import restore
from server.keeping.trouble import Trouble
from server.store.database import Database
from server.store.rule_sheets import list_rule_sheets, save_rule_sheet
from tests.factories import RULES

EVERYTHING = ["https/authority-key.pem", "music/1f", "ninefifty.db", "recordings/ab"]


@pytest.fixture
def file(settings, tmp_path):
    write_archive(settings, tmp_path / "b.zip", now_ms=1)
    return tmp_path / "b.zip"


def flip(path, at):
    """Turn one bit of a file."""
    content = bytearray(path.read_bytes())
    content[at] ^= 4
    path.write_bytes(content)


def test_a_backup_holds_everything_with_its_hashes(file):
    with zipfile.ZipFile(file) as held:
        listed = json.loads(held.read("contents.json"))["files"]
        hashes = {name: hashlib.sha256(held.read(name)).hexdigest() for name in listed}
    assert sorted(listed) == EVERYTHING
    assert {name: each["sha256"] for name, each in listed.items()} == hashes


def test_a_backup_is_its_owners_alone_inside_too(file, tmp_path):
    (tmp_path / "out").mkdir()
    unpack(file, tmp_path / "out")
    assert (tmp_path / "out" / "recordings" / "ab").read_bytes() == b"ab" * 5000
    assert not [path for path in tmp_path.iterdir() if "unfinished" in path.name]


def test_a_backup_is_the_database_after_its_last_commit(settings, tmp_path):
    database = Database(settings.database_file)
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        session.flush()
        write_archive(settings, tmp_path / "b.zip")
    database.close()
    (tmp_path / "out").mkdir()
    unpack(tmp_path / "b.zip", tmp_path / "out")
    copy = Database(tmp_path / "out" / "ninefifty.db")
    with copy.reading() as session:
        assert RULES not in list_rule_sheets(session)
    copy.close()


def test_a_damaged_database_is_not_backed_up(settings, tmp_path):
    content = bytearray(settings.database_file.read_bytes())
    content[4096 * 3 : 4096 * 5] = bytes(4096 * 2)
    settings.database_file.write_bytes(content)
    with pytest.raises(Trouble, match="is damaged, so this would be no backup"):
        write_archive(settings, tmp_path / "b.zip")
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


def test_what_cannot_be_read_in_a_sound_database_is_counted(settings, tmp_path):
    database = Database(settings.database_file)
    with database.writing() as session:
        session.connection().exec_driver_sql("UPDATE plan SET document = '{' || document")
    database.close()
    assert write_archive(settings, tmp_path / "b.zip").unreadable > 0


@pytest.mark.parametrize("part", [0.1, 0.5, 0.9])
def test_a_backup_with_a_flipped_bit_is_known_for_it(file, part):
    flip(file, int(file.stat().st_size * part))
    with pytest.raises(Trouble, match=r"is damaged|is no backup"):
        read_archive(file)


def test_a_backup_that_is_cut_is_known_for_it(file):
    file.write_bytes(file.read_bytes()[:-100])
    with pytest.raises(Trouble, match="is no backup made here, or is cut"):
        read_archive(file)


def listing(names=(), **changed):
    """The list of a backup as somebody might have made it up."""
    files = {name: {"size": 0, "sha256": ""} for name in ("ninefifty.db", *names)}
    listed = {"format": "ninefifty-backup", "version": 1, "made_ms": 1, "folders": []}
    return {**listed, "files": files, **changed}


def made_up(path, listed):
    with zipfile.ZipFile(path, "w") as made:
        text = listed if isinstance(listed, str) else json.dumps(listed)
        made.writestr("contents.json", text)


@pytest.mark.parametrize("name", ["../evil", "/evil", "music/../../evil", "other/x"])
def test_a_file_with_a_name_that_leads_elsewhere_is_refused_whole(tmp_path, name):
    made_up(tmp_path / "b.zip", listing([name]))
    (tmp_path / "out").mkdir()
    with pytest.raises(Trouble, match="holds files that no backup has"):
        unpack(tmp_path / "b.zip", tmp_path / "out")
    assert list((tmp_path / "out").iterdir()) == []


@pytest.mark.parametrize(
    "listed",
    [
        listing(folders=["../evil"]),
        listing(folders=["."]),
        listing(folders="music"),
        listing(folders=[["music"]]),
        listing(made_ms="today"),
        listing(made_ms=10**30),
        listing(files={"ninefifty.db": {"size": "2", "sha256": ""}}),
        listing(files={"ninefifty.db": {"size": -2, "sha256": ""}}),
        listing(files=[]),
        "[" * 100_000,
        "\0",
    ],
    ids=lambda listed: str(listed)[:20],
)
def test_a_list_that_was_made_up_moves_nothing_and_is_told_in_a_sentence(
    settings, tmp_path, listed
):
    made_up(tmp_path / "b.zip", listed)
    (tmp_path / "evil").mkdir()
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(Trouble, match=r"is no backup|holds files that no backup has"):
        restore(settings, tmp_path / "b.zip", datetime(2026, 11, 28))
    assert sorted(tmp_path.rglob("*")) == before


def test_a_file_pressed_or_locked_as_none_here_is_told(file):
    content = bytearray(file.read_bytes())
    for at in (content.rfind(b"PK\x01\x02") + 8, content.rfind(b"PK\x01\x02") + 10):
        strange = content.copy()
        strange[at] = 1 if at % 4 else 97
        file.write_bytes(strange)
        with pytest.raises(Trouble):
            read_archive(file)


def test_a_disk_that_is_full_is_not_called_a_damaged_database(settings, tmp_path):
    had = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, had[1]))
    try:
        with pytest.raises(
            Trouble, match="keeps the app does not answer as it should: it may be full"
        ):
            write_archive(settings, tmp_path / "b.zip")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, had)
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


def test_a_copy_that_reads_otherwise_than_it_was_written_is_thrown_away(
    settings, tmp_path, monkeypatch
):
    monkeypatch.setattr(archive, "read_archive", lambda _: None)
    with pytest.raises(Trouble, match="reads otherwise"):
        write_archive(settings, tmp_path / "b.zip")
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


def test_the_terminal_names_certificates_only_where_there_are_some(settings, tmp_path, capsys):
    back_up(settings, tmp_path / "with.zip")
    (settings.data_dir / "https" / "authority-key.pem").unlink()
    back_up(settings, tmp_path / "without.zip")
    told = [each for each in capsys.readouterr().out.splitlines() if each.startswith("Backed")]
    assert "1 track, 1 recording and the certificates, " in told[0]
    assert "1 track, 1 recording, " in told[1]
