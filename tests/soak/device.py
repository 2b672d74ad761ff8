"""The presenter's device: a browser with a profile on disk, which can be killed and comes back."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import BrowserContext, BrowserType, Error, Page

from server.bootstrap import find_chromium
from tests.browser.chromium import ARGUMENTS, HOST
from tests.browser.killing import kill_browser_of
from tests.browser.stage_page import TAKES_QUICK_PRESSES
from tests.owner import owner_cookies

GUARD_S = 0.33
"""This device is set to take one action again after 300 ms, the shortest that the stage offers;
measured from the end of the press before."""
OPEN_WITHIN_MS = 4000
SETTLE_WITHIN_MS = 60_000

# The device's wall clock, moved; unlike a browser's own fake clock this one goes on ticking.
MOVED_CLOCK = """{
  const now = Date.now.bind(Date);
  window.clockMovedMs = 0;
  Date.now = () => now() + window.clockMovedMs;
}"""
ON_DISK = """(runId) => new Promise((resolve) => {
  const opened = indexedDB.open("ninefifty-marks");
  opened.onerror = () => resolve(0);
  opened.onsuccess = () => {
    const all = opened.result.transaction("events").objectStore("events").getAll();
    all.onsuccess = () => {
      opened.result.close();
      resolve(all.result.filter((each) => each.run_id === runId).length);
    };
  };
})"""
IN_LOCAL = """(runId) => Object.keys(localStorage)
  .filter((key) => key.startsWith(`ninefifty.event.${runId}.`)).length"""

KEYS = {"next": "PageDown", "undo": "PageUp", "ready": "r"}


@dataclass(frozen=True)
class Press:
    """A press and when it was made, by the driver's own even clock: between these two moments."""

    what: str
    from_s: float
    until_s: float


class Device:
    """One device. `reach` makes the server reachable, as a person would who cannot open a page."""

    def __init__(self, browser_type: BrowserType, profile: Path, reach: Callable[[], None]) -> None:
        self._browser_type = browser_type
        self._profile = profile
        self._reach = reach
        self._moved_ms = 0
        self._last: dict[str, float] = {}
        self._url = ""
        self.page: Page
        self._context: BrowserContext | None = None

    def switch_on(self) -> None:
        """Start the browser, with what its profile kept."""
        self._context = self._browser_type.launch_persistent_context(
            self._profile, executable_path=find_chromium(), args=list(ARGUMENTS)
        )
        self._context.add_cookies(owner_cookies(HOST))
        self._context.on("dialog", lambda dialog: dialog.accept())
        self._context.add_init_script(TAKES_QUICK_PRESSES)
        self._context.add_init_script(MOVED_CLOCK)
        self._context.add_init_script(f"window.clockMovedMs = {self._moved_ms}")
        self.page = self._context.pages[0]

    def switch_off(self) -> None:
        """End the browser as a person does."""
        if self._context is not None:
            self._context.close()

    def open(self, url: str) -> None:
        """Open a page; where it cannot be had, once the server is within reach."""
        self._url = url
        try:
            self.page.goto(url, timeout=OPEN_WITHIN_MS)
            self._settle(OPEN_WITHIN_MS)
        except Error:
            self._reach()
            # What was given up may still be on its way, and would come in between.
            self.page.goto("about:blank", timeout=SETTLE_WITHIN_MS)
            self.page.goto(url, timeout=SETTLE_WITHIN_MS)
            self._settle(SETTLE_WITHIN_MS)
        self._last.clear()

    def _settle(self, within_ms: float) -> None:
        self.page.wait_for_selector(
            "[data-view]:not([hidden])", state="attached", timeout=within_ms
        )

    def press(self, what: str) -> Press:
        """Press what marks `what`; an incident takes two keys, the second is the mark."""
        if what.startswith("incident"):
            self._key("incident", "i")
            return self._key(what, what[-1])
        return self._key(what, KEYS[what])

    def _key(self, what: str, key: str) -> Press:
        time.sleep(max(0.0, self._last.get(key, 0.0) + GUARD_S - time.monotonic()))
        from_s = time.monotonic()
        self.page.keyboard.press(key)
        self._last[key] = time.monotonic()
        return Press(what, from_s, self._last[key])

    def close_tab_and_open_again(self) -> None:
        """As a person does who closed the wrong tab."""
        assert self._context is not None
        page = self._context.new_page()
        self.page.close()
        self.page = page
        self.open(self._url)

    def kill_and_switch_on(self, run_id: str, marks: int) -> None:
        """SIGKILL every process of the browser once the disk has what the screen shows."""
        give_up = time.monotonic() + 3
        while self.page.evaluate(ON_DISK, run_id) < marks and time.monotonic() < give_up:
            time.sleep(0.02)
        kill_browser_of(self._profile)
        self.switch_on()
        self.open(self._url)

    def set_clock(self, by_ms: int) -> None:
        """Move the wall clock; the page that is open notices within a second."""
        assert self._context is not None
        self._moved_ms += by_ms
        self._context.add_init_script(f"window.clockMovedMs = {self._moved_ms}")
        self.page.evaluate(f"window.clockMovedMs = {self._moved_ms}")
        time.sleep(1.1)

    def kept(self, run_id: str) -> tuple[int, int]:
        """How many events of a run lie in the two stores of this device."""
        return self.page.evaluate(IN_LOCAL, run_id), self.page.evaluate(ON_DISK, run_id)
