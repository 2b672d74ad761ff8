"""Everything in a page that no test asks for but every test would want to know."""

import re
from collections.abc import Callable
from urllib.parse import urlsplit

# The browser says this of every answer from 400 on, also where the page deals with it.
ANSWERED_WITH_AN_ERROR = re.compile(r"Failed to load resource: ")


class Watch:
    """Collects errors in the console, broken policies, failed files and foreign requests."""

    def __init__(self, host: str) -> None:
        self._host = host
        self._allowed: list[re.Pattern[str]] = [ANSWERED_WITH_AN_ERROR]
        self.faults: list[str] = []

    def allow(self, pattern: str) -> None:
        """Let pass what the test brings about on purpose."""
        self._allowed.append(re.compile(pattern))

    def listen(self, context) -> Callable[[], None]:
        """Watch every page of a browser context; what is returned ends that."""
        heard = {
            "console": self._on_console,
            "weberror": lambda error: self._note(f"uncaught: {error.error}"),
            "request": self._on_request,
            "response": self._on_response,
        }
        for event, hear in heard.items():
            context.on(event, hear)

        def stop() -> None:
            for event, hear in heard.items():
                context.remove_listener(event, hear)

        return stop

    def _on_console(self, message) -> None:
        if message.type == "error":
            self._note(message.text)

    def _on_request(self, request) -> None:
        url = urlsplit(request.url)
        if url.scheme in ("http", "https", "ws", "wss") and url.hostname != self._host:
            self._note(f"asked another host: {request.url}")

    def _on_response(self, response) -> None:
        is_file = urlsplit(response.url).path.startswith("/static/")
        if response.status >= 500 or (is_file and response.status >= 400):
            self._note(f"answered {response.status}: {response.url}")

    def _note(self, fault: str) -> None:
        if not any(pattern.search(fault) for pattern in self._allowed):
            self.faults.append(fault)
