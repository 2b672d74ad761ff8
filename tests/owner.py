"""The device that tests use the app with: one of the owner's, let in as a person's tablet is.

Tests open pages under a name of the network, which the app trusts no more than any other device's.
"""

import time
from pathlib import Path

from server.settings import DATABASE_NAME
from server.store.database import Database
from server.store.devices import let_in
from server.web.frame.cookies import DEVICE

TOKEN = "the-secret-of-the-device-that-tests-use"
COOKIES = {f"{DEVICE}-80": TOKEN}


def let_owner_in(data: Path, address: str = "") -> None:
    """Let the tests' device in to the app over a data folder, which may run."""
    database = Database(address or data / DATABASE_NAME, folder=data)
    with database.writing() as session:
        let_in(session, "mine", "Tablet of the tests", time.time_ns() // 1_000_000, [TOKEN], TOKEN)
    database.close()


def owner_cookies(host: str) -> list[dict[str, object]]:
    """The cookies of the owner's device under a name, as Playwright takes them."""
    cookie = {"name": f"{DEVICE}-80", "value": TOKEN, "domain": host, "path": "/"}
    kept = {"expires": time.time() + 86_400, "httpOnly": True, "secure": False, "sameSite": "Lax"}
    return [cookie | kept]


def as_owner(host: str) -> dict[str, object]:
    """What makes a browser context the owner's device under a name."""
    return {"storage_state": {"cookies": owner_cookies(host), "origins": []}}
