"""The stage as a test works it: opens a run, drives its clock, presses, and asks the server."""

import json

from server.domain.runs.run import Outline, ProcessLink, RunState, fold
from server.domain.whole.exchange import parse_events
from tests import asking
from tests.browser.desk import Desk

NOON = "2026-03-01T12:00:00"
SEGMENTS = {"Grind": "30", "Brew": "60", "Build": "1:30", "Serve": "45"}
CHILL = "Chill the glass"
# Before a page has an address it has no storage.
TAKES_QUICK_PRESSES = "if (location.protocol !== 'about:') localStorage['ninefifty.guard'] = '300'"
FALLBACK = "Serve it from the reserve."
COUNTS_WHAT_IS_ASKED = """
(() => {
  const { fetch } = window;
  window.askedOfServer = 0;
  window.fetch = (...args) => {
    window.askedOfServer += 1;
    return fetch(...args).finally(() => { window.askedOfServer -= 1; });
  };
  const { transaction } = IDBDatabase.prototype;
  window.askedOfStore = 0;
  IDBDatabase.prototype.transaction = function (...args) {
    const asked = transaction.apply(this, args);
    window.askedOfStore += 1;
    for (const over of ["complete", "abort"])
      asked.addEventListener(over, () => { window.askedOfStore -= 1; });
    return asked;
  };
})()
"""
MOST_LOOKS = 5
"""So often it is looked whether server and store answered, before a test goes on without."""


def new_run(desk: Desk, segments: dict[str, str] | None = None, *, process: bool = False) -> str:
    """A run of a short routine, ready to start; with one process of 60 to 90 s beside it."""
    routine_id = desk.routine("Evening <set>", SEGMENTS if segments is None else segments)
    if process:
        file = desk.get(f"/routines/{routine_id}/export.json").json()
        ids = {each["name"]: each["id"] for each in file["routine"]["segments"]}
        desk.send_form(
            f"/routines/{routine_id}/processes/new",
            name=CHILL,
            likely="75",
            low="60",
            high="90",
            after=ids["Grind"],
            before=ids["Serve"],
            fallback=FALLBACK,
        )
    return desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]


class StagePage:
    """One open stage page."""

    def __init__(self, page, address: str, run_id: str) -> None:
        self.page = page
        self.run_id = run_id
        self._address = address
        self._data: dict | None = None

    def open(self, *, driven: bool = True) -> "StagePage":
        """Open the page; a driven clock stands still until `wait` moves it.

        Where it goes by itself, the device takes presses that follow each other quickly.
        """
        if driven:
            self.page.clock.install(time=NOON)
        else:
            self.page.add_init_script(TAKES_QUICK_PRESSES)
        self.page.add_init_script(COUNTS_WHAT_IS_ASKED)
        self.page.on("dialog", lambda dialog: dialog.accept())
        self.page.goto(f"{self._address}/runs/{self.run_id}/stage")
        self.settle()
        if driven:
            self.page.clock.pause_at("2026-03-01T12:00:30")
        return self

    def opened_again(self, context, time: str) -> "StagePage":
        """The same run on a page that is opened at that time, once this one is closed."""
        self.page.close()
        again = StagePage(context.new_page(), self._address, self.run_id)
        again.page.clock.install(time=time)
        again.page.goto(f"{self._address}/runs/{self.run_id}/stage")
        again.settle()
        return again

    def settle(self) -> None:
        """Wait until the page shows its run."""
        self.page.wait_for_selector("[data-view]:not([hidden])", state="attached")

    def reload(self) -> None:
        self.page.reload()
        self.settle()
        self.wait(0.1)

    def wait(self, seconds: float) -> None:
        """Let time pass on the driven clock; storage and network take their own."""
        self.page.clock.fast_forward(round(seconds * 1000))
        self.catch_up()

    def catch_up(self) -> None:
        """Let storage, network and the next frames do their part; the clock moves 40 ms.

        A busy machine gets more of its own time, while something is asked of the server or the
        device's store: what is marked is shown once it is kept.
        """
        for _ in range(MOST_LOOKS):
            self.page.wait_for_timeout(60)
            if not self.page.evaluate("window.askedOfServer || window.askedOfStore"):
                break
        self.page.clock.run_for(40)

    def until(self, expression: str) -> None:
        """Wait in real time until an expression holds on the page."""
        for _ in range(400):
            if self.page.evaluate(expression):
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(f"this never came true: {expression}")

    def press(self, key: str) -> None:
        """Press a key, and let the screen show what came of it."""
        self.page.keyboard.press(key)
        self.catch_up()

    def mark_two(self) -> None:
        """Start, and mark the first two segments at 30 s and 90 s."""
        for seconds in (0, 30, 60):
            self.wait(seconds)
            self.press("PageDown")

    def set_up(self, *choices: str) -> None:
        """Choose what this device does, each by its words in the panel for that."""
        self.page.get_by_role("button", name="Set up this device").click()
        for choice in choices:
            self.page.get_by_label(choice, exact=True).check()
        self.page.get_by_role("button", name="Done").click()

    def more(self, name: str) -> None:
        """Do what stands behind "…"."""
        self.page.get_by_role("button", name="More", exact=True).click()
        self.page.get_by_role("group", name="More").get_by_role("button", name=name).click()

    def part(self, name: str):
        return self.page.locator(f"[data-part={name}]")

    def text(self, name: str) -> str:
        return self.part(name).inner_text()

    @property
    def view(self) -> str:
        return self.page.locator("body").get_attribute("data-status")

    @property
    def data(self) -> dict:
        if self._data is None:
            self._data = json.loads(self.page.locator("#run-data").text_content())
        return self._data

    @property
    def segment_ids(self) -> list[str]:
        return [segment["id"] for segment in self.data["segments"]]

    def server_events(self, url: str) -> list[dict]:
        return asking.get(f"{url}/api/runs/{self.run_id}/events").json()["events"]

    def server_kinds(self, url: str) -> list[str]:
        """The kinds of the events that the server has, in their order."""
        return [event["kind"] for event in self.server_events(url)]

    def server_state(self, url: str) -> RunState:
        """What the server's own fold makes of what the server has."""
        events = self.server_events(url)
        log = parse_events(json.dumps({"events": events}).encode()) if events else ()
        links = tuple(
            ProcessLink(each["id"], each["after_segment_id"], each["before_segment_id"])
            for each in self.data["processes"]
        )
        return fold(log, Outline(tuple(self.segment_ids), links))

    def wait_for_text(self, name: str, text: str) -> None:
        """Wait, by the clock on the wall, until a part of the page says something."""
        self.page.wait_for_function(
            "([name, text]) => document.querySelector(`[data-part=${name}]`)"
            ".textContent.includes(text)",
            arg=[name, text],
        )

    def until_text(self, name: str, text: str) -> None:
        """Wait until a part shows just this; the clock moves with it, so that frames are drawn."""
        for _ in range(100):
            if self.text(name) == text:
                return
            self.catch_up()
        raise AssertionError(f"{name} never said {text!r}, but {self.text(name)!r}")

    def until_shown(self, part, *words: str) -> None:
        """Wait until a part of the page shows all these words; the clock moves with it."""
        for _ in range(100):
            if all(each in part.inner_text() for each in words):
                return
            self.catch_up()
        raise AssertionError(f"not all of {words} were shown, but {part.inner_text()!r}")

    def wait_until_sent(self) -> None:
        """Wait for the sign that the server has every mark; the clock moves for the retries."""
        for turn in range(60):
            if "all marks on the server" in self.page.locator("[data-part=sync]").text_content():
                return
            self.page.clock.run_for(1000)
            # A busy machine gets more of its own time for as much of the driven clock.
            self.page.wait_for_timeout(50 if turn < 10 else 300)
        raise AssertionError("marks are still not on the server")
