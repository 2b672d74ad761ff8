"""Who has takes listened to, made soon after the start or when first asked for."""

import logging
from collections.abc import Callable
from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from server.hearing.keeper import Hearing

_log = logging.getLogger(__name__)


class LateHearing:
    """What `make` makes, once, and begun: the start waits neither for it nor for its tables."""

    def __init__(self, make: "Callable[[], Hearing]") -> None:
        self._make = make
        self._lock = Lock()
        self._made: Hearing | None = None
        self._ended = False

    def begin(self) -> None:
        """Begin, unless somebody asked before; what goes wrong is left to the next who asks."""
        try:
            self.begun()
        except Exception:
            _log.exception("Nobody listens to takes yet.")

    def begun(self) -> "Hearing":
        """Who listens to what waits, also from before a restart."""
        with self._lock:
            if self._made is None:
                made = self._make()
                if not self._ended:
                    made.begin()
                self._made = made
            return self._made

    def end(self) -> None:
        """Stop, where it was begun; what was not finished waits for the next start."""
        with self._lock:
            self._ended = True
            if self._made is not None:
                self._made.end()
