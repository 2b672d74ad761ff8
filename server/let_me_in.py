"""`./run let-me-in`: a link that makes one device the owner's, or sets an admin's password anew."""

import sys
import time

from sqlalchemy.exc import DatabaseError

from server.announce import invitation, lan_address, way_back
from server.keeping.opening import database_of
from server.keeping.trouble import Trouble, told_of_database
from server.settings import Settings
from server.store.devices import invite
from server.store.people.recovery import TERMINAL_LASTS_MS, first_admin, make_reset


def let_me_in(settings: Settings) -> None:
    """Print a link that lets one device in; the app may run meanwhile, under the same settings.

    Where people have accounts it sets a new password for the first of the admins.

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
            now_ms = time.time_ns() // 1_000_000
            admin = first_admin(session) if settings.people else None
            if admin is None:
                secret = invite(session, "mine", now_ms)
            else:
                secret = make_reset(session, admin.id, now_ms, None, TERMINAL_LASTS_MS)
    except DatabaseError as error:
        raise told_of_database(database.name, error, "written") from error
    finally:
        database.close()
    colour = sys.stdout.isatty()
    if admin is None:
        print(invitation(settings, secret, lan_address(), colour=colour))
    else:
        print(way_back(settings, admin.sign_in, secret, lan_address(), colour=colour))
