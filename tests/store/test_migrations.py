import shutil
from contextlib import contextmanager

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from pydantic import TypeAdapter
from sqlalchemy import create_engine, inspect, text
from sqlmodel import SQLModel, select

from server.domain.base.errors import Conflict
from server.domain.routine.plan import Plan
from server.domain.whole.exchange import to_json
from server.store.database import BACKUPS_KEPT, MIGRATIONS, Database
from server.store.migrating import propose_migration
from server.store.plans import freeze_plan, load_plan
from server.store.routines import create_routine, load_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run, load_run
from server.store.tables import PlanRow, RunRow
from tests.engines import on_both, only_sqlite
from tests.factories import NOW_MS, RULES, make_events, make_routine
from tests.prepared import put_nothing

pytestmark = on_both

NEXT_STEP = """
import sqlalchemy as sa
from alembic import op

revision = "next"
down_revision = "{head}"
branch_labels = None
depends_on = None


def upgrade():
    with op.batch_alter_table("routine") as batch:
        batch.add_column(sa.Column("colour", sa.String(), nullable=True))
    {then}
"""


@contextmanager
def bare(place):
    """A connection to a database that knows nothing of the app."""
    engine = create_engine(place if isinstance(place, str) else f"sqlite:///{place}")
    with engine.begin() as connection:
        yield connection
    engine.dispose()


def run_steps(place, do, revision):
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    with bare(place) as connection:
        config.attributes["connection"] = connection
        do(config, revision)


HEAD = ScriptDirectory(str(MIGRATIONS)).get_current_head()


def tables(place):
    with bare(place) as connection:
        return set(inspect(connection).get_table_names())


def columns(place, table):
    with bare(place) as connection:
        return {each["name"] for each in inspect(connection).get_columns(table)}


@pytest.fixture
def new(tmp_path):
    """Where a database is that has no tables yet."""
    return put_nothing(tmp_path / "new")


@pytest.fixture
def later(tmp_path):
    """Writes the steps of a later version of the app: ours and one more."""

    def steps(then="pass", head=HEAD):
        folder = tmp_path / "later"
        shutil.copytree(MIGRATIONS, folder, dirs_exist_ok=True)
        (folder / "versions" / "next.py").write_text(NEXT_STEP.format(head=head, then=then))
        return folder

    return steps


@pytest.fixture
def opened(tmp_path):
    """Opens databases, and closes them when the test ends."""
    held = []

    def open_one(*arguments):
        held.append(Database(*arguments, folder=tmp_path))
        return held[-1]

    yield open_one
    for database in held:
        database.close()


def fill(database):
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        run_id = create_run(session, make_routine(), RULES, NOW_MS)
        append_events(session, run_id, make_events({"s1": 60}, total_s=180), NOW_MS)
    return run_id


def test_a_new_database_gets_every_table(database, place):
    assert {table.name for table in SQLModel.metadata.sorted_tables} <= tables(place)


def differences(database):
    """What the tables of a database lack, or have too much, against what the code describes."""
    with database.connected() as connection:
        context = MigrationContext.configure(connection, opts={"compare_server_default": True})
        return compare_metadata(context, SQLModel.metadata)


def test_the_steps_lead_to_the_tables_that_the_code_describes(database):
    assert differences(database) == []


def test_a_proposed_step_leads_to_the_tables_that_the_code_describes(tmp_path, new, opened):
    shutil.copytree(MIGRATIONS, tmp_path / "steps")
    database = opened(new, tmp_path / "steps")
    database.migrate()
    with database.writing() as session:
        session.connection().exec_driver_sql("ALTER TABLE run DROP COLUMN notes")
    assert len(differences(database)) == 1
    propose_migration(database, "Runs have notes")
    (proposed,) = (tmp_path / "steps" / "versions").glob("*_runs_have_notes.py")
    assert "batch_op.add_column(sa.Column('notes'" in proposed.read_text()


def test_every_step_can_be_taken_back(new):
    run_steps(new, command.upgrade, "head")
    run_steps(new, command.downgrade, "base")
    assert tables(new) == {"alembic_version"}


def test_what_the_first_version_kept_is_brought_up_to_date_with_all_it_holds(new, opened):
    run_steps(new, command.upgrade, "0001")
    with bare(new) as connection:
        connection.exec_driver_sql(
            "INSERT INTO routine (id, position, head, change) VALUES ('r1', 0, 1, 1)"
        )
        connection.exec_driver_sql(
            "INSERT INTO revision (routine_id, number, label, saved_ms, document)"
            """VALUES ('r1', 1, 'created', 0, '{"id":"r1","name":"Old","rule_sheet_id":"rules"}')"""
        )
    database = opened(new)
    database.migrate()
    with database.reading() as session:
        assert load_routine(session, "r1").routine.name == "Old"


def test_runs_of_today_find_their_plans_under_the_new_keys(new, opened):
    """As keys were before: of the whole document, so that one plan had two with a new field."""
    run_steps(new, command.upgrade, "0008")
    plan = Plan(make_routine(), RULES)
    whole, lean = to_json(plan), TypeAdapter(Plan).dump_json(plan, exclude_defaults=True).decode()
    with bare(new) as connection:
        connection.execute(
            text("INSERT INTO routine (id, position, head, change) VALUES ('r1',0,1,1)")
        )
        for run_id, key, document in (("a", "key1", whole), ("b", "key2", lean), ("c", "bad", "{")):
            told = {"key": key, "document": document, "run": run_id}
            connection.execute(
                text("INSERT INTO plan (key, document) VALUES (:key, :document)"), told
            )
            connection.execute(
                text(
                    "INSERT INTO run (id, routine_id, plan_key, created_ms, source, label, notes,"
                    " excluded, status, summary)"
                    " VALUES (:run, 'r1', :key, 0, 'stage', '', '', NULL, 'waiting', '{}')"
                ),
                told,
            )
    database = opened(new)
    database.migrate()
    with database.writing() as session:
        keys = {row.id: row.plan_key for row in session.exec(select(RunRow))}
        assert keys == {"a": freeze_plan(session, plan), "b": keys["a"], "c": "bad"}
        assert load_plan(session, keys["a"]) == plan
        assert {row.key for row in session.exec(select(PlanRow))} == set(keys.values())


@only_sqlite
def test_a_file_is_copied_aside_before_its_tables_change(database, opened, later):
    run_id = fill(database)
    opened(database.path, later()).migrate()
    (backup,) = (database.path.parent / "backups").iterdir()
    assert backup.name == f"ninefifty-before-{HEAD}-is-left.db"
    assert "colour" in columns(database.path, "routine") - columns(backup, "routine")
    copy = opened(backup)
    with copy.reading() as session:
        assert load_run(session, run_id).state.total_ms == 180_000


def test_a_step_that_fails_leaves_the_tables_as_they_were(database, place, opened, later):
    fill(database)
    with pytest.raises(ZeroDivisionError):
        opened(place, later(then="1 / 0")).migrate()
    assert "colour" not in columns(place, "routine")
    database.migrate()
    with database.reading() as session:
        assert load_routine(session, "r1").routine == make_routine()


def test_what_is_up_to_date_is_left_alone(database, tmp_path):
    database.migrate()
    assert not (tmp_path / "backups").exists()


@only_sqlite
def test_only_the_latest_copies_are_kept_and_none_of_a_person(database, opened, later):
    folder = database.path.parent / "backups"
    folder.mkdir()
    (folder / "my own.db").touch()
    for number in range(BACKUPS_KEPT + 2):
        (folder / f"ninefifty-before-x{number}-is-left.db").touch()
    opened(database.path, later()).migrate()
    names = {path.name for path in folder.iterdir()}
    assert len(names) == BACKUPS_KEPT + 1
    assert {"my own.db", f"ninefifty-before-{HEAD}-is-left.db"} <= names


def test_what_a_later_version_changed_is_refused_and_left_alone(place, opened, later):
    opened(place, later()).migrate()
    with pytest.raises(Conflict, match="later version of the app"):
        opened(place).migrate()
    assert "colour" in columns(place, "routine")
