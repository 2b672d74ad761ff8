"""What settings need of one another, of what is installed, and of whoever typed their names.

Told before anything starts: what is found out later is a page that fails for everybody.
"""

import sys
from collections.abc import Iterable, Iterator, Mapping
from importlib.util import find_spec

from server.settings import SETTINGS, Settings

PEOPLE_NEED = ("argon2", "zxcvbn", "webauthn")
"""Modules that keep passwords and passkeys."""

ORGANISATION_NEEDS = ("authlib", "httpx2")
PREFIX = "NINEFIFTY_"
CLOSE = 0.8


def require_together(settings: Settings) -> None:
    """Leave with a sentence where settings do not go together, or need what is not installed."""
    if settings.people and settings.open:
        sys.exit("--open lets everybody do everything, and --people asks who they are: choose one.")
    if settings.oidc_issuer and not settings.people:
        sys.exit(
            f"NINEFIFTY_OIDC_ISSUER is “{settings.oidc_issuer}”, and nobody signs in here: that "
            "needs NINEFIFTY_PEOPLE=yes."
        )
    if bool(settings.oidc_issuer) != bool(settings.oidc_client_id):
        sys.exit(
            "NINEFIFTY_OIDC_ISSUER and NINEFIFTY_OIDC_CLIENT_ID say together where an organisation "
            "signs people in and what it knows this app as: one of them is missing."
        )
    asked = (settings.people, PEOPLE_NEED), (bool(settings.oidc_issuer), ORGANISATION_NEEDS)
    if missing := _missing(name for is_asked, names in asked if is_asked for name in names):
        sys.exit(
            f"NINEFIFTY_PEOPLE needs what is not installed: {', '.join(missing)}. ./run installs "
            "it by itself, docker compose up --build too; elsewhere: pip install '.[school]'"
        )


def _missing(modules: Iterable[str]) -> list[str]:
    return [name for name in modules if find_spec(name) is None]


def misspelt(environment: Mapping[str, str]) -> Iterator[str]:
    """A sentence for each variable that looks like a setting, and is none.

    They are no fault: whoever runs containers may set some that begin alike.

    >>> [*misspelt({"NINEFIFTY_PROT": "8001", "NINEFIFTY_PORT": "8001"})]
    ['NINEFIFTY_PROT is no setting, so it changes nothing. NINEFIFTY_PORT is one.']
    """
    known = [row.variable for row in SETTINGS]
    for name in environment:
        if name.upper().startswith(PREFIX) and name not in known:
            # Imported here: few starts have to look.
            from difflib import get_close_matches

            close = get_close_matches(name.upper(), known, n=1, cutoff=CLOSE)
            if close:
                yield f"{name} is no setting, so it changes nothing. {close[0]} is one."
