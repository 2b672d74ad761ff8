"""What a presenter does most, done in a browser and counted: clicks, pages, pixels scrolled.

Each task starts at Today of the demo, the first at an app without anything. A click is a touch or
a press of the mouse; keys are those typed. What is scrolled is as little as shows the whole of what
is touched or read next, past what stands over the page.
"""

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Error, sync_playwright

from server.bootstrap import find_chromium
from tests.bench.entering import MOST_CLICKS as MOST_OF_ALL
from tests.bench.entering import enter_a_routine
from tests.bench.figures import aligned
from tests.bench.walking import Walk, Walked
from tests.browser.chromium import ARGUMENTS, HOST
from tests.browser.stage_page import TAKES_QUICK_PRESSES
from tests.owner import as_owner
from tests.real_server import RealServer

SIZES = ((1280, 800), (390, 844))
MOST_CLICKS = 4
HEAD = ("task", "screen", "clicks", "keys", "pages", "px scrolled", "aim")
TODAY = "/routines/routine-demo"
BETWEEN_PRESSES_MS = 400
SLOWEST_MS = 8000
SEGMENTS = (("Greet the judges", "25"), ("Build and pour", "1:30"), ("Close", "20"))


@dataclass(frozen=True)
class Task:
    """Something to be done, and how."""

    name: str
    do: Callable[[Walk], None]


def first_run(walk: Walk) -> None:
    """A name, three segments, the stage: each is typed, Enter goes on."""
    walk.type("Evening set")
    walk.key("Enter")
    for name, lasts in SEGMENTS:
        walk.type(name)
        walk.key("Tab")
        walk.type(lasts)
        walk.key("Enter")
    walk.press("Rehearse")
    walk.press("Open the stage")
    walk.press("Start", exact=True)
    for _ in SEGMENTS:
        walk.page.wait_for_timeout(BETWEEN_PRESSES_MS)
        walk.click(walk.page.locator("[data-part=next]"))
    walk.see(walk.page.locator("[data-view=closed]"))


def settle_a_contradiction(walk: Walk) -> None:
    walk.press("Say 40 ml")


def cut_ten_seconds(walk: Walk) -> None:
    walk.press("Where?")
    walk.press("0:10: where")
    walk.press("Try it:")
    walk.press("Use it")


def leave_a_run_out(walk: Walk) -> None:
    walk.press("Runs", exact=True)
    walk.click(walk.page.locator("a.run-row").nth(2))
    walk.press("Don’t count")


def print_the_stage_sheet(walk: Walk) -> None:
    walk.press("Plan", exact=True)
    walk.press("Sheet", exact=True)
    walk.press("Print", exact=True)


def why_the_chance_fell(walk: Walk) -> None:
    walk.click(walk.page.locator("summary", has_text="Why?"))
    walk.see(walk.page.locator("[data-figure^='why:']"))


def leave_a_split_out(walk: Walk) -> None:
    walk.press("Look at it")
    walk.press("Don’t count this split")


def enter_a_run_from_paper(walk: Walk) -> None:
    walk.press("Runs", exact=True)
    walk.click(walk.page.locator(".run-by-hand"))
    page = walk.page
    if not page.locator("[name^=time-]:focus").count():
        walk.click(page.locator("[name^=time-]"))
    for number in range(1, page.locator("[name^=time-]").count() + 1):
        walk.type(str(number * 34))
        walk.key("Tab")
    walk.press("Save the run")


def let_a_coach_in(walk: Walk) -> None:
    walk.press("Rehearse")
    walk.press("Invite watchers")
    walk.see(walk.page.locator("#code"))


def find_the_oldest_open_point(walk: Walk) -> None:
    walk.press("Runs", exact=True)
    walk.press("Open remarks")
    walk.see(walk.page.locator(".open-remarks li"))


TASKS = (
    Task("settle a contradiction", settle_a_contradiction),
    Task("see why the chance fell", why_the_chance_fell),
    Task("find the oldest open point", find_the_oldest_open_point),
    Task("cut 10 s where it helps most", cut_ten_seconds),
    Task("exclude a segment’s odd split", leave_a_split_out),
    Task("mark a run as not counted", leave_a_run_out),
    Task("print the stage sheet", print_the_stage_sheet),
    Task("enter a run from paper", enter_a_run_from_paper),
    Task("let a coach in", let_a_coach_in),
)


def printed(quick: bool) -> str:
    """The table of all tasks; quick is at one size of the screen."""
    rows = list(_rows(SIZES[:1] if quick else SIZES))
    return aligned(HEAD, rows, texts=(0, 1, len(HEAD) - 1))


def _rows(sizes: tuple[tuple[int, int], ...]) -> Iterator[tuple[str, ...]]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=list(ARGUMENTS))
        for size in sizes:
            with _opened(browser, size, demo=False) as (context, address):
                found = _walked(context, address, first_run)
                yield _row("first timed run from nothing", size, found)
            with _opened(browser, size, demo=False) as (context, address):
                found = _walked(context, address, enter_a_routine)
                yield _row("a whole routine entered", size, found, most=(MOST_OF_ALL, None))
            with _opened(browser, size, demo=True) as (context, address):
                for task in TASKS:
                    found = _walked(context, address + TODAY, task.do)
                    yield _row(task.name, size, found, most=(MOST_CLICKS, size[1]))
        browser.close()


def _walked(context: BrowserContext, start: str, do: Callable[[Walk], None]) -> Walked | str:
    """What a task took in a window of its own, or what barred the way."""
    page = context.new_page()
    try:
        page.goto(start)
        page.wait_for_load_state("networkidle")
        walk = Walk(page)  # Counts from here on: the start is no part of the way.
        do(walk)
        return walk.walked
    except Error as error:  # A way that is barred is a finding, not the end of the table.
        return error.message.splitlines()[0]
    finally:
        page.close()


def _row(
    name: str,
    size: tuple[int, int],
    found: Walked | str,
    most: tuple[int, int | None] | None = None,
) -> tuple[str, ...]:
    """A line of the table; `most` are the clicks and the pixels it is to take."""
    screen = f"{size[0]} x {size[1]}"
    if isinstance(found, str):
        return name, screen, "-", "-", "-", "-", f"BARRED: {found}"
    counted = (found.clicks, found.keys, found.loads, round(found.scrolled_px))
    aim = ""
    if most:
        most_clicks, most_px = most
        aim = f"at most {most_clicks} clicks" + (f", {most_px} px" if most_px else "")
        missed = found.clicks > most_clicks or bool(most_px and found.scrolled_px > most_px)
        aim += ": MISSED" if missed else ""
    return name, screen, *(str(each) for each in counted), aim


@contextmanager
def _opened(
    browser: Browser, size: tuple[int, int], *, demo: bool
) -> Iterator[tuple[BrowserContext, str]]:
    """Windows of that size, and the address of an app of their own."""
    with tempfile.TemporaryDirectory() as folder:
        server = RealServer(Path(folder) / "data", demo=demo)
        server.start()
        viewport = {"width": size[0], "height": size[1]}
        context = browser.new_context(viewport=viewport, **as_owner(HOST))
        context.set_default_timeout(SLOWEST_MS)
        context.add_init_script(TAKES_QUICK_PRESSES)
        # What would ask at the printer is only noted.
        context.add_init_script("window.print = () => {}")
        try:
            yield context, f"http://{HOST}:{server.port}"
        finally:
            context.close()
            server.stop()
