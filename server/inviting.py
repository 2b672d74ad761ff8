"""`./run let-me-in`: a link that makes one device the owner's, for when none is at hand."""

import sys
import time

from sqlalchemy.exc import DatabaseError

from server.announce import invitation, lan_address
from server.keeping.opening import database_of
from server.keeping.trouble import Trouble, told_of_database
from server.settings import Settings
from server.store.devices import invite


def let_me_in(settings: Settings) -> None:
    """Print a link that lets one device in; the app may run meanwhile, under the same settings.

    Raises Trouble.
    """
    file = settings.database_file
    if not settings.database and not file.exists():
        raise Trouble(
            f"There is nothing to be let in to: {file} does not exist. Start the app first."
        )
    database = database_of(settings)
    try:
        database.migrate()
        with database.writing() as session:
            secret = invite(session, "mine", time.time_ns() // 1_000_000)
    except DatabaseError as error:
        raise told_of_database(database.name, error, "written") from error
    finally:
        database.close()
    print(invitation(settings, secret, lan_address(), colour=sys.stdout.isatty()))
