"""Everything in a page that no test asks for but every test would want to know."""

import re
from collections.abc import Callable
from urllib.parse import urlsplit

# The browser says this of every answer from 400 on, also where the page deals with it.
ANSWERED_WITH_AN_ERROR = re.compile(r"Failed to load resource: (?:.* status of (\d+))?")


class Watch:
    """Collects errors in the console, broken policies, failed files and foreign requests.

    It hears what fails alone: to be told of every request costs a page a tenth of its opening. The
    browser finds no host but the tests' own, so that whatever is asked of another one fails.
    """

    def __init__(self, host: str) -> None:
        self._host = host
        self._allowed: list[re.Pattern[str]] = []
        self.faults: list[str] = []

    def allow(self, pattern: str) -> None:
        """Let pass what the test brings about on purpose."""
        self._allowed.append(re.compile(pattern))

    def listen(self, context) -> Callable[[], None]:
        """Watch every page of a browser context; what is returned ends that."""
        heard = {
            "console": self._on_console,
            "weberror": lambda error: self._note(f"uncaught: {error.error}"),
            "requestfailed": self._on_failed_request,
        }
        for event, hear in heard.items():
            context.on(event, hear)

        def stop() -> None:
            for event, hear in heard.items():
                context.remove_listener(event, hear)

        return stop

    def _on_console(self, message) -> None:
        if message.type != "error":
            return
        answered = ANSWERED_WITH_AN_ERROR.match(message.text)
        if answered:
            self._on_answer(int(answered[1] or 0), message.location["url"])
        else:
            self._note(message.text)

    def _on_answer(self, status: int, url: str) -> None:
        is_file = urlsplit(url).path.startswith("/static/")
        if status >= 500 or (is_file and status >= 400):
            self._note(f"answered {status}: {url}")

    def _on_failed_request(self, request) -> None:
        url = urlsplit(request.url)
        if url.scheme in ("http", "https", "ws", "wss") and url.hostname != self._host:
            self._note(f"asked another host: {request.url}")

    def _note(self, fault: str) -> None:
        if not any(pattern.search(fault) for pattern in self._allowed):
            self.faults.append(fault)
