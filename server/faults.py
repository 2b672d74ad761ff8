"""What went wrong lately, counted: for somebody who keeps the server, without what was in it."""

import logging
import re
from collections import OrderedDict
from dataclasses import dataclass, replace
from threading import Lock

MOST_KEPT = 50
_FILLED_IN = re.compile(r"%[-+#0]*[\d.]*[a-zA-Z]")
"""Where a message has a value, as `logging` fills them in."""


@dataclass(frozen=True)
class CountedFault:
    """A kind of warning or error: where it comes from, what it is, how often, and when last.

    `what` is the message before anything was filled in, or the name of the error: it can hold no
    name of a person or a routine.
    """

    level: str
    where: str
    what: str
    times: int
    last_ms: int


class LateFaults(logging.Handler):
    """Counts what is logged as a warning or worse, since it was put in its place."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self._counted: OrderedDict[tuple[str, str], CountedFault] = OrderedDict()
        self._guard = Lock()

    def emit(self, record: logging.LogRecord) -> None:
        """Count one."""
        what = (
            _FILLED_IN.sub("…", record.msg).replace("%%", "%")
            if isinstance(record.msg, str)
            else type(record.msg).__name__
        )
        if record.exc_info and record.exc_info[0]:
            what = f"{what.splitlines()[0]} ({record.exc_info[0].__name__})"
        key = record.name, what
        now_ms = round(record.created * 1000)
        with self._guard:
            before = self._counted.pop(key, None)
            fresh = CountedFault(record.levelname.lower(), record.name, what, 0, now_ms)
            before = before or fresh
            self._counted[key] = replace(before, times=before.times + 1, last_ms=now_ms)
            while len(self._counted) > MOST_KEPT:
                self._counted.popitem(last=False)

    def since(self, since_ms: int) -> list[CountedFault]:
        """What was counted and came last after a moment, the latest first."""
        with self._guard:
            found = list(self._counted.values())
        return [each for each in reversed(found) if each.last_ms >= since_ms]
