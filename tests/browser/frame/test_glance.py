"""Pages for a glance: how many screens each is high, and that nothing on it is small."""

import re
import time

import pytest

from tests.browser.chromium import HOST
from tests.real_server import RealServer
from tests.thorough import all_but, some

pytestmark = pytest.mark.only_looks

DEMO = "/routines/routine-demo"
LONGER_ON_A_PHONE = {"two drinks compared", "declaration"}
"""Tables of several columns: on a phone each line of them takes two."""
TO_BE_GONE_THROUGH = {"saying", "stage sheet"}
"""What is gone through from top to bottom, on paper or aloud, is as long as the talk."""
PAGES = {
    "today": DEMO,
    "drinks": f"{DEMO}/drinks",
    "two drinks compared": f"{DEMO}/drinks/compare",
    "declaration": f"{DEMO}/declaration",
    "script": f"{DEMO}/script",
    "claims": f"{DEMO}/claims",
    "plan": f"{DEMO}/plan",
    "chances": f"{DEMO}/plan/risk",
    "runs": f"{DEMO}/runs",
    "open remarks": f"{DEMO}/runs/remarks",
    "trends": f"{DEMO}/drift",
    "a run": "/runs/run-demo-06",
    "made ahead": f"{DEMO}/prep",
    "learning": f"{DEMO}/learn",
    "saying": f"{DEMO}/learn/say",
    "stage sheet": f"{DEMO}/plan/sheet",
    "rehearse": f"{DEMO}/rehearse",
}
SCREENS = {(1280, 800): 1, (800, 1280): 2, (390, 844): 2}
"""Size of the screen -> how many of them a page may be high with the demo."""

SMALLEST_PX = 16

SMALL_TEXT = """
(smallest) => {
  const found = new Map();
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const part = texts.currentNode.parentElement;
    const words = texts.currentNode.textContent.trim();
    if (!words || part.closest(".visually-hidden, title, script, style, option")) continue;
    if (!part.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
    const size = parseFloat(getComputedStyle(part).fontSize);
    if (size < smallest - 0.1) found.set(words.slice(0, 40), size);
  }
  return [...found].map(([words, size]) => `${words}: ${size}`);
}
"""


@pytest.fixture(scope="module")
def untouched(tmp_path_factory):
    """The address of an app whose demo no other test changes."""
    with RealServer(tmp_path_factory.mktemp("untouched") / "data") as running:
        yield f"http://{HOST}:{running.port}"


PANELS = (
    "drinks?edit=drink-drink-orchard", "drinks?open=figures", "claims?open=missed",
    "script?open=sentence-seg-drip-1", "plan?open=segment-seg-espresso",
    "prepare?edit=thing-new", "prep?edit=task-task-cordial", "learn?edit=aim",
    "station?edit=spot-spot-wine", "tastings?edit=list", "tastings?edit=pairs",
)  # fmt: skip
OF_A_KIND = ("claims?open=missed", "plan?open=segment-seg-espresso", "tastings?edit=list")
"""A list to read, the longest form there is, and one that is short."""
LIES_UNDER = """
(part) => {
  const box = part.getBoundingClientRect();
  const top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return part.contains(top) ? "" : (top?.outerHTML.slice(0, 80) ?? "the edge of the screen");
}
"""


@pytest.mark.parametrize("panel", some(PANELS, all_but(*OF_A_KIND)))
def test_what_is_open_beside_a_list_can_be_read_saved_and_closed_at_every_size(
    page, untouched, panel
):
    hidden = []
    page.goto(f"{untouched}{DEMO}/{panel}")
    for width, height in (*SCREENS, (360, 640)):
        page.set_viewport_size({"width": width, "height": height})
        for part in ("[data-close]", "h2", ".form-end"):
            if not (found := page.locator(f"[data-panel] {part}")).count():
                continue
            over = found.first.evaluate(LIES_UNDER)
            hidden += [f"at {width} px: {part} under {over}"] if over else []
    assert hidden == []


@pytest.mark.parametrize("name", [each for each in PAGES if each not in TO_BE_GONE_THROUGH])
def test_every_page_is_for_a_glance(page, untouched, name):
    page.goto(f"{untouched}{PAGES[name]}")
    page.wait_for_load_state("networkidle")
    assert page.evaluate(SMALL_TEXT, SMALLEST_PX) == []
    higher = {}
    for (width, screen), most in SCREENS.items():
        if name in LONGER_ON_A_PHONE and width < 800:
            continue
        page.set_viewport_size({"width": width, "height": screen})
        screens = page.evaluate("document.documentElement.scrollHeight") / screen
        if screens > most + 0.01:
            higher[width] = round(screens, 2)
    assert higher == {}


def test_every_split_of_a_run_fits_a_tablet_held_upright(page, untouched):
    page.set_viewport_size({"width": 800, "height": 1280})
    page.goto(f"{untouched}{PAGES['a run']}?open=splits")
    table = page.locator("table.run-splits")
    assert table.evaluate("table => table.scrollWidth <= table.parentElement.clientWidth")


SHIFTED = """
() => {
  const seen = new PerformanceObserver(() => {});
  seen.observe({ type: "layout-shift", buffered: true });
  return seen.takeRecords().map((each) => each.value).filter((value) => value >= 0.001);
}
"""
"""The jumps of a page as the browser scores them (Layout Instability API): share of the screen that
moved times how far. Less than a thousandth is a mark of some pixels, which nobody sees move."""


LATE = re.compile(r"(/frame/main\.js|\.woff2)$")
SLOW_S = 0.3
"""How long the letters of a page are on their way, and the script that connects the others."""


@pytest.fixture
def slow_page(page):
    """The page, on a network on which letters and scripts come well after the text."""

    def later(route):
        time.sleep(SLOW_S)
        route.continue_()

    page.route(LATE, later)
    yield page
    page.unroute(LATE)


FILLED = ("today", "plan", "drinks", "saying")
"""Pages on which much comes after the text."""


@pytest.mark.parametrize("name", some(PAGES, all_but(*FILLED)))
def test_nothing_jumps_while_a_page_fills(slow_page, untouched, name):
    slow_page.goto(f"{untouched}{PAGES[name]}")
    slow_page.wait_for_load_state("networkidle")
    assert slow_page.evaluate(SHIFTED) == []


@pytest.mark.parametrize("name", some(PAGES, all_but("claims")))
def test_nothing_jumps_on_a_phone(slow_page, untouched, name):
    slow_page.set_viewport_size({"width": 390, "height": 844})
    slow_page.goto(f"{untouched}{PAGES[name]}")
    slow_page.wait_for_load_state("networkidle")
    assert slow_page.evaluate(SHIFTED) == []
