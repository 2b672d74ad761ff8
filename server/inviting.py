"""`./run let-me-in`: a link that makes one device the owner's, for when none is at hand."""

import sqlite3
import sys
import time

from server.announce import invitation, lan_address
from server.keeping.trouble import Trouble, told
from server.settings import Settings
from server.store.database import Database
from server.store.devices import invite


def let_me_in(settings: Settings) -> None:
    """Print a link that lets one device in; the app may run meanwhile, under the same settings.

    Raises Trouble.
    """
    file = settings.database_file
    if not file.exists():
        raise Trouble(
            f"There is nothing to be let in to: {file} does not exist. Start the app first."
        )
    database = Database(file)
    try:
        database.migrate()
        with database.writing() as session:
            secret = invite(session, "mine", time.time_ns() // 1_000_000)
    except sqlite3.Error as error:
        raise told(str(file), error, "written") from error
    finally:
        database.close()
    print(invitation(settings, secret, lan_address(), colour=sys.stdout.isatty()))
