"""What a page offers: nothing that who asks would be refused. By the table, not page by page."""

import re
from contextvars import ContextVar
from functools import lru_cache
from html import unescape
from typing import TYPE_CHECKING

from server.domain.base.rights import may as device_may
from server.domain.base.standings import EVERYTHING, Ask, allows
from server.web.frame.access import ASKS, NEEDS

if TYPE_CHECKING:
    from server.web.frame.door import Asker

_LINK = re.compile(r'<a\b[^>]*\bhref="(?P<url>/[^"]*)"[^>]*>')

# Macros of templates see no request; this they see.
asking: ContextVar["Asker | None"] = ContextVar("who asks for the page that is drawn", default=None)


def may(ask: Ask) -> bool:
    """Whether what asks that of the routine in question may be had by who asks."""
    asker = asking.get()
    return asker is None or asker.may(ask)


def offers(method: str, url: str) -> bool:
    """Whether an address would let in who asks for the page that it stands on.

    Of a page of no routine that is not known here: the list that it shows knows.
    """
    asker = asking.get()
    if asker is None or (asker.person is None and not asker.helps):
        return True
    row = _row_at(method, re.split(r"[?#]", url, maxsplit=1)[0])
    if row is None:
        return True
    if asker.person is None:
        return device_may(NEEDS[row], asker.role)
    ask = ASKS[row]
    if ask == "admin":
        return asker.person.is_admin
    if ask not in EVERYTHING or asker.grants.routine_id is None:
        return True
    # Whether the run behind a link is open is known to the page that shows it.
    return allows(ask, asker.grants.asks, is_open=True)


def first_place(asker: "Asker") -> str:
    """Where a routine is looked at first by one who may not see Today."""
    return "plan" if asker.may("read") else "declaration"


def kept_for(asker: "Asker") -> str:
    """How long a browser may show a page that works offline without asking: others may sign in at
    it, so where people have accounts it always asks."""
    return "private, max-age=3600" if asker.person is None else "private, no-cache"


def kept_for_good(asker: "Asker") -> str:
    """The same of a file that never changes under its address."""
    is_alone = asker.person is None
    return "private, max-age=31536000, immutable" if is_alone else kept_for(asker)


def without_shut_links(page: str) -> str:
    """A page without the links that would be refused: their words stay, their buttons do not."""
    asker = asking.get()
    if asker is None or not (asker.helps or asker.grants.routine_id is not None):
        return page
    return _LINK.sub(_link, page)


def _link(found: re.Match[str]) -> str:
    if offers("GET", unescape(found["url"])):
        return found[0]
    return "<a hidden>" if 'class="button' in found[0] else "<a>"


@lru_cache(maxsize=4096)
def _row_at(method: str, path: str) -> str | None:
    found = (row for pattern, row in _patterns() if pattern.fullmatch(f"{method} {path}"))
    return next(found, None)


@lru_cache(maxsize=1)
def _patterns() -> list[tuple[re.Pattern[str], str]]:
    """Every address as a pattern, those with the fewest ids first: they hold where both do."""
    rows = sorted(ASKS, key=lambda row: row.count("{"))
    return [(re.compile(re.sub(r"\{\w+\}", "[^/]+", row)), row) for row in rows]
