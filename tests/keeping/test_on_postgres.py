"""Backup, restore and the nightly copy mean the same where PostgreSQL keeps the database."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from server.keeping.archive import contents_of, write_archive
from server.keeping.commands import back_up, bring_back
from server.keeping.nightly import Nightly
from server.keeping.opening import database_of, open_database
from server.keeping.trouble import Trouble
from server.store.engines import postgres_tools
from server.store.routines import list_routines, touch_routine
from tests.engines import POSTGRES, place_in
from tests.prepared import put_bare

NOW = datetime(2026, 11, 28, 9, 47)
pytestmark = pytest.mark.parametrize("engine", [POSTGRES], indirect=True)


@pytest.fixture
def school(settings):
    """A data folder whose database, with the demo in it, is PostgreSQL's."""
    return replace(settings, database=place_in(settings.data_dir))


def names(settings):
    database = database_of(settings)
    with database.reading() as session:
        found = [routine.name for routine in list_routines(session)]
    database.close()
    return found


def write(settings, statement):
    database = database_of(settings)
    with database.writing() as session:
        session.connection().exec_driver_sql(statement)
    database.close()


def test_a_backup_brings_back_database_and_files(school, tmp_path, capsys):
    before = names(school)
    back_up(school, tmp_path / "monday.zip")
    write(school, "UPDATE routine SET deleted_ms = 1")
    (school.music_dir / "1f").write_bytes(b"later")
    assert names(school) == []
    bring_back(school, tmp_path / "monday.zip")
    assert names(school) == before
    assert (school.music_dir / "1f").read_bytes() != b"later"
    (aside,) = school.data_dir.glob("replaced-*")
    assert sorted(each.name for each in aside.iterdir()) == [
        "https", "music", "ninefifty.dump", "recordings",
    ]  # fmt: skip


def test_what_was_there_before_a_restore_can_be_brought_back_itself(school, tmp_path):
    write_archive(school, tmp_path / "monday.zip")
    write(school, "UPDATE routine SET deleted_ms = 1")
    bring_back(school, tmp_path / "monday.zip")
    (aside,) = school.data_dir.glob("replaced-*")
    bring_back(school, aside / "ninefifty.dump")
    assert names(school) == []


def test_a_restore_takes_out_tables_that_a_later_version_made(school, tmp_path):
    write(school, "DROP TABLE take; UPDATE alembic_version SET version_num = '0011'")
    write_archive(school, tmp_path / "old.zip")
    write(school, "CREATE TABLE take (id TEXT); UPDATE alembic_version SET version_num = '0014'")
    bring_back(school, tmp_path / "old.zip")
    database = database_of(school)
    with database.connected() as connection:
        told = connection.exec_driver_sql("SELECT to_regclass('take'), version_num FROM"
                                          " alembic_version")  # fmt: skip
        assert tuple(told.one()) == (None, "0011")
    database.close()


def test_nothing_is_brought_back_while_a_server_uses_the_database(school, tmp_path):
    write_archive(school, tmp_path / "monday.zip")
    database = open_database(school)
    with pytest.raises(Trouble, match="Stop all servers"):
        bring_back(school, tmp_path / "monday.zip")
    database.close()
    assert not list(school.data_dir.glob("replaced-*"))


def test_a_backup_of_a_data_folder_is_not_put_into_postgresql(school, tmp_path, monkeypatch):
    monkeypatch.setattr("tests.engines._chosen", ["sqlite"])
    other = replace(school, database="", data_dir=tmp_path / "other")
    put_bare(other.data_dir)
    write_archive(other, tmp_path / "other.zip")
    with pytest.raises(Trouble, match="move-database"):
        bring_back(school, tmp_path / "other.zip")
    assert names(school) != []


def test_a_dump_that_is_cut_is_refused_and_nothing_changed(school, tmp_path):
    write_archive(school, tmp_path / "monday.zip")
    before = names(school)
    database = database_of(school)
    database.backup(tmp_path / "cut.dump")
    database.close()
    whole = (tmp_path / "cut.dump").read_bytes()
    (tmp_path / "cut.dump").write_bytes(whole[: len(whole) // 2])
    with pytest.raises(Trouble, match="damaged"):
        bring_back(school, tmp_path / "cut.dump")
    assert names(school) == before


def test_without_its_tools_a_backup_says_what_is_missing(school, tmp_path, monkeypatch):
    monkeypatch.setattr(postgres_tools, "DEBIAN", tmp_path)
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(Trouble, match="pg_dump is missing on this machine"):
        back_up(school, tmp_path / "monday.zip")
    assert not (tmp_path / "monday.zip").exists()


def test_a_nightly_copy_is_made_once_something_has_changed(school):
    nightly = Nightly(school, free=lambda _: 10**12)
    first = nightly.look(NOW)
    assert contents_of(first).database == "ninefifty.dump"
    assert nightly.look(NOW + timedelta(days=1)) is None
    assert nightly.trouble is None
    database = database_of(school)
    with database.writing() as session:
        touch_routine(session, list_routines(session)[0].id)
    database.close()
    assert nightly.look(datetime.now() + timedelta(days=2)) is not None
