"""After a power cut every mark that was acknowledged is there, whatever the disk had in its cache.

`power_cut.py` loses, tears and reorders what was not synced. A control shows that it does: without
the syncs of `synchronous=FULL` marks are lost.
"""

from random import Random

import pytest
from sqlalchemy.exc import DatabaseError

from server.domain.base.errors import DomainError
from server.store.copying import damage_in
from server.store.database import Database
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run, load_run
from tests.engines import only_sqlite
from tests.factories import NOW_MS, RULES, make_event, make_routine
from tests.prepared import put_bare
from tests.store.power_cut import LosingDisk

pytestmark = only_sqlite

MARKS = 40
CUTS = 12


def marked_until_cut(database):
    """A run with forty marks, each acknowledged."""
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        run_id = create_run(session, make_routine(), RULES, NOW_MS)
    for number in range(MARKS):
        with database.writing() as session:
            mark = make_event(f"e{number}", "note", seq=number, text="marked")
            append_events(session, run_id, [mark], NOW_MS)
    return run_id


def found_after(folder, run_id):
    """The marks that a start after the cut finds."""
    database = Database(folder / "ninefifty.db")
    with database.reading() as session:
        found = {event.id for event in load_run(session, run_id).record.events}
    database.close()
    assert damage_in(folder / "ninefifty.db") == []
    return found


@pytest.fixture
def disk():
    with LosingDisk() as disk:
        yield disk


@pytest.mark.parametrize("checkpoint_every", [1000, 8], ids=["log only", "log put away"])
def test_every_acknowledged_mark_is_there_after_a_power_cut(
    tmp_path, disk, monkeypatch, checkpoint_every
):
    monkeypatch.setattr("server.store.engines.sqlite.LOOK_AT_LOG_EVERY", checkpoint_every)
    monkeypatch.setattr("server.store.engines.sqlite.LONG_LOG_WRITES", checkpoint_every)
    database = Database(put_bare(tmp_path))
    run_id = marked_until_cut(database)
    for seed in range(CUTS):
        disk.cut_into(tmp_path, tmp_path / str(seed), Random(seed))
    database.close()
    for seed in range(CUTS):
        assert len(found_after(tmp_path / str(seed), run_id)) == MARKS


def test_without_a_sync_at_each_commit_this_disk_loses_marks(tmp_path, disk):
    database = Database(put_bare(tmp_path))
    with database.connected() as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql("PRAGMA synchronous=OFF")
    run_id = marked_until_cut(database)
    disk.cut_into(tmp_path, tmp_path / "cut", Random(1))
    database.close()
    try:
        found = found_after(tmp_path / "cut", run_id)
    except (DatabaseError, DomainError):
        found = set()
    assert len(found) < MARKS
