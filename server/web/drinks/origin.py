"""What a figure of a drink was made of, as it is opened beside the page."""

from server.domain.base.errors import NotFound
from server.domain.routine.explained import Explained, explained
from server.web.drinks.half import Half

ORIGIN = "origin"
"""The kind in an address that opens it: `origin-NAME.DRINK_ID`."""


def origin_in(half: Half, name: str) -> Explained | None:
    """What a figure of a drink was made of; None where there is no such figure."""
    if half.glass is None:
        return None
    try:
        return explained(half.drink, half.glass.balance, half.glass.standing, name)
    except NotFound:
        return None
