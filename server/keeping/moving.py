"""`./run move-database`: everything from SQLite to PostgreSQL, or back."""

from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

from sqlalchemy.exc import DatabaseError

from server.domain.base.errors import Conflict, InvalidInput
from server.keeping.one_server import alone_with
from server.keeping.opening import database_of
from server.keeping.private import keep_private
from server.keeping.trouble import Trouble, told_of_database
from server.settings import DATABASE_NAME, Settings, read_settings
from server.store.database import Database
from server.store.engines.kind import CopyFailed
from server.store.engines.moving import move_rows


def move_database(settings: Settings, source: str, target: str) -> None:
    """Copy all rows of one database to another that is empty; files stay in their folder.

    `source` and `target` are each a data folder or an address. Raises Trouble.
    """
    keep_private(settings.data_dir)
    with ExitStack() as held:
        old = held.enter_context(_Held(settings, source, must_exist=True))
        new = held.enter_context(_Held(settings, target))
        try:
            counts = move_rows(old, new)
        except Conflict as error:
            raise Trouble(f"{error.message} Nothing was changed.") from error
        except CopyFailed as error:
            raise Trouble(f"Nothing was moved: {error}") from error
        except DatabaseError as error:
            raise told_of_database(f"{old.name} or {new.name}", error) from error
    some = ", ".join(_counted(counts[name], name) for name in _SAID)
    print(
        f"Moved {old.name} to {new.name}: {some}; in all {_counted(sum(counts.values()), 'row')}."
    )
    print("They were read again from both and are equal. What was there before is still there.")
    print(_STAY_FAR.format(settings.files) if settings.files else _STAY)


_STAY = "Music, recordings and certificates stay in their data folder: start with that one."
_STAY_FAR = "Music and recordings stay in {}, certificates in their data folder: start with both."
_SAID = ("routine", "run", "event")
"""Of these tables it is told how many rows they have."""


def _counted(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


class _Held:
    """One of the two databases, which no server uses meanwhile."""

    def __init__(self, settings: Settings, place: str, must_exist: bool = False) -> None:
        self._settings = _settings_for(settings, place)
        self._must_exist = must_exist
        self._held = ExitStack()

    def __enter__(self) -> Database:
        settings = self._settings
        if not settings.database:
            file = settings.database_file
            if self._must_exist and not file.exists():
                raise Trouble(f"There is no {file}.")
            settings.data_dir.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._held.enter_context(alone_with(settings.data_dir))
        database = database_of(settings)
        self._held.callback(database.close)
        require_unused(database)
        return database

    def __exit__(self, *_: object) -> None:
        self._held.close()


def require_unused(database: Database) -> None:
    """Raise Trouble where a server, or a person, is connected to a database that others reach."""
    try:
        others = database.engine.others()
    except DatabaseError as error:
        raise told_of_database(database.name, error) from error
    if others:
        raise Trouble(
            f"{others} connections to {database.name} are open. Stop all servers that use it, "
            "then try again. Nothing was changed."
        )


def _settings_for(settings: Settings, place: str) -> Settings:
    if "://" in place:
        try:
            return replace(settings, database=read_settings({"NINEFIFTY_DATABASE": place}).database)
        except InvalidInput as error:
            raise Trouble(error.message) from error
    path = Path(place).expanduser().absolute()
    folder = path.parent if path.name == DATABASE_NAME else path
    return replace(settings, database="", data_dir=folder)
