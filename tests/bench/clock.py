"""Clock error of a run on stage, over real minutes.

    python -m tests.bench.clock            ten minutes
    python -m tests.bench.clock 60         one minute
    python -m tests.bench.clock 600 --reload   with the page loaded again half-way

A real app, a real browser, nothing driven. The start, a mark at every tenth of the time and the
finish are pressed in the page, which tells the reading of its clock at the press. Beside each
press the page's clock is laid against Python's monotonic clock anew, by asking for it thirty
times and keeping the quickest answer; the true moment is known to half that answer's time. What
the server folds the run to is compared with the true moments. The aim: under 20 ms over ten
minutes.
"""

import argparse
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from server.bootstrap import find_chromium
from tests.browser.desk import Desk
from tests.browser.stage_page import StagePage, new_run
from tests.owner import as_owner
from tests.real_server import RealServer

HOST = "tablet.lan"
MARKS = 10
ASKS = 30
PRESS = """(key) => {
  const atMs = performance.now();
  dispatchEvent(new KeyboardEvent("keydown", { key }));
  return atMs;
}"""


@dataclass(frozen=True)
class Press:
    """When a press was handled on Python's monotonic clock, and how sure that is; seconds."""

    at_s: float
    unsure_s: float


def press(page: Page, key: str = "PageDown") -> Press:
    """Press a key in the page."""
    pressed_ms = page.evaluate(PRESS, key)
    ahead_s, unsure_s = clock_offset(page)
    return Press(pressed_ms / 1000 + ahead_s, unsure_s)


def clock_offset(page: Page) -> tuple[float, float]:
    """How far Python's monotonic clock is ahead of the page's, and how sure that is; seconds."""
    asked = []
    for _ in range(ASKS):
        before_s = time.monotonic()
        page_s = page.evaluate("performance.now()") / 1000
        after_s = time.monotonic()
        asked.append(((after_s - before_s) / 2, (before_s + after_s) / 2 - page_s))
    unsure_s, ahead_s = min(asked)
    return ahead_s, unsure_s


def errors_ms(seconds: float, *, reload: bool = False) -> list[tuple[float, float]]:
    """(error, uncertainty) in ms of each mark: recorded minus true time since the start."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = RealServer(Path(folder) / "data", demo=False)
        server.start()
        try:
            browser = playwright.chromium.launch(
                executable_path=find_chromium(),
                args=["--no-sandbox", f"--host-resolver-rules=MAP {HOST} 127.0.0.1"],
            )
            return _run(browser.new_page(**as_owner(HOST)), server, seconds, reload=reload)
        finally:
            server.stop()


def _run(
    page: Page, server: RealServer, seconds: float, *, reload: bool
) -> list[tuple[float, float]]:
    with Desk(server.url) as desk:
        segments = {f"Part {n}": f"{seconds / MARKS:.1f}" for n in range(1, MARKS + 1)}
        stage = StagePage(page, f"http://{HOST}:{server.port}", new_run(desk, segments))
    stage.open(driven=False)
    start = press(page)
    presses = []
    for number in range(1, MARKS + 1):
        page.wait_for_timeout(1000 * (start.at_s + number * seconds / MARKS - time.monotonic()))
        presses.append(press(page))
        if reload and number == MARKS // 2:
            page.reload()
            stage.settle()
    page.wait_for_timeout(1000)
    ends_ms = stage.server_state(server.url).ends_ms
    return [
        (end_ms - 1000 * (each.at_s - start.at_s), 1000 * (each.unsure_s + start.unsure_s))
        for end_ms, each in zip(ends_ms, presses, strict=True)
    ]


def main() -> None:
    parser = argparse.ArgumentParser(description="Clock error of a run on stage.")
    parser.add_argument("seconds", type=float, nargs="?", default=600.0)
    parser.add_argument("--reload", action="store_true", help="load the page again half-way")
    options = parser.parse_args()
    errors = errors_ms(options.seconds, reload=options.reload)
    last, unsure = errors[-1]
    most = max(abs(error) for error, _ in errors)
    way = ", loaded again half-way" if options.reload else ""
    print(f"clock error after {options.seconds:.0f} s{way}: {last:+.2f} ms (± {unsure:.2f} ms)")
    print(f"largest of {len(errors)} marks: {most:.2f} ms; aim: under 20 ms over ten minutes")


if __name__ == "__main__":
    main()
