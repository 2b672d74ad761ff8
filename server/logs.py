"""What the server says of itself: lines for people, or one JSON object a line for a collector."""

import json
import logging
import re
import time
from contextvars import ContextVar
from itertools import count
from secrets import token_hex
from typing import Literal

Style = Literal["text", "json"]

_request: ContextVar[str] = ContextVar("the request that is being answered", default="")
# Random once for a process, then counted: asking the system for more lets go of the interpreter,
# and beside a thread that works a request waits milliseconds to have it back.
_OWN = token_hex(8)
_numbers = count(1)
_GIVEN = re.compile(r"[A-Za-z0-9._-]{1,64}")


def begin_request(given: str) -> str:
    """Name the request that is answered from here on: as a proxy in front named it, or anew."""
    name = given if given and _GIVEN.fullmatch(given) else f"{_OWN}{next(_numbers):08x}"
    _request.set(name)
    return name


def set_up_logs(style: Style) -> None:
    """Write warnings and worse to standard error, in one style for this app and its server."""
    handler = logging.StreamHandler()
    handler.setFormatter(JsonLines() if style == "json" else TextLines())
    logging.basicConfig(level=logging.WARNING, handlers=[handler], force=True)
    for name in ("uvicorn", "uvicorn.error", "uvicorn.access"):
        # What it would write itself goes the same way as all else.
        logger = logging.getLogger(name)
        logger.handlers.clear()
        logger.propagate = True


class TextLines(logging.Formatter):
    """`WARNING server.web.stage.pages: what happened [request]`."""

    def __init__(self) -> None:
        super().__init__("%(levelname)s %(name)s: %(message)s")

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802
        """The line of a record, with the request it belongs to."""
        request = _request.get()
        return super().formatMessage(record) + (f" [{request}]" if request else "")


class JsonLines(logging.Formatter):
    """One object a line: time, level, logger, message, and where there are any request, error."""

    def format(self, record: logging.LogRecord) -> str:
        """One record as JSON."""
        at = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(record.created))
        told = {
            "time": f"{at}.{int(record.msecs):03d}Z",
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
            "request": _request.get(),
            "error": self.formatException(record.exc_info) if record.exc_info else "",
        }
        return json.dumps({name: value for name, value in told.items() if value})
