"""Figures that cannot be told: said in their place, so that no page is lost to a computation.

Every page asks the domain through `told` for what it computes of drinks, claims and risk, and shows
the sentence where there is no figure. What should never happen is logged besides.
"""

import logging
from collections.abc import Callable
from typing import TypeVar

from server.domain.base.errors import DomainError

T = TypeVar("T")

_log = logging.getLogger(__name__)

FAILED = "the app failed at it, and its log says how"


def told(what: str, make: Callable[[], T]) -> tuple[T | None, str]:
    """What `make` comes to, or None and a sentence that says that and why it cannot be told.

    `what` begins the sentence: "The glass of “Dusk”".
    """
    try:
        return make(), ""
    except DomainError as error:
        return None, _sentence(what, error.message)
    except Exception:
        # Whatever it was: a stage on which nothing can be marked would be worse.
        _log.exception("%s could not be worked out", what)
        return None, _sentence(what, FAILED)


def _sentence(what: str, why: str) -> str:
    return f"{what} cannot be told: {why.rstrip('.')}."
