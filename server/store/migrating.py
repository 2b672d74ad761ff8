"""Bringing the tables up to date, step by step.

Alembic weighs half a second of every start, so `Database.migrate` comes here only when the steps
and the file differ.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from alembic.util import CommandError

from server.domain.base.errors import Conflict

if TYPE_CHECKING:
    from server.store.database import Database


def upgrade(database: "Database", step: str | None) -> None:
    """Take the steps that lead on from `step`; a file that has one is copied aside first.

    Raises Conflict for a file that a later version of the app has changed.
    """
    config = _config(database.migrations)
    _refuse_unknown(step, ScriptDirectory.from_config(config))
    if step is not None:
        database.keep_backup(step)
    with database.connected() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        connection.commit()


def knows_step(migrations: Path, step: str) -> bool:
    """Whether a step is one of this version of the app, or of one before."""
    try:
        _refuse_unknown(step, ScriptDirectory.from_config(_config(migrations)))
    except Conflict:
        return False
    return True


def propose_migration(database: "Database", what: str) -> None:
    """Write the next numbered migration, from the database's tables to those in `tables`."""
    config = _config(database.migrations)
    script = ScriptDirectory.from_config(config)
    # Counted on from the last, not from how many there are: a number may be left out.
    number = max(int(each.revision) for each in script.walk_revisions()) + 1
    with database.connected() as connection:
        config.attributes["connection"] = connection
        command.revision(config, message=what, rev_id=f"{number:04}", autogenerate=True)


def _config(migrations: Path) -> Config:
    config = Config()
    config.set_main_option("script_location", str(migrations))
    return config


def _refuse_unknown(step: str | None, steps: ScriptDirectory) -> None:
    try:
        steps.get_revision(step or "base")
    except CommandError as error:
        raise Conflict(
            f"This database is of a later version of the app (step {step}). Start that "
            "version, or give this one another data folder."
        ) from error
