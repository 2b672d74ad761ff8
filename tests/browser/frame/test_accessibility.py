"""No page bars anyone: by axe-core, by the size of what is touched, by the width of the screen."""

import pytest

from tests.browser.axe import barred_by_axe
from tests.browser.states import STATES, laid_out
from tests.thorough import all_but, is_like_another_state, some

TOUCH_PX = 48
SCREENS = {"a laptop": (1280, 800), "a tablet upright": (800, 1280), "a phone": (360, 740)}

DEMO = "/routines/routine-demo"
PLACES = {
    "today": DEMO,
    "drinks": f"{DEMO}/drinks",
    "script": f"{DEMO}/script",
    "plan": f"{DEMO}/plan",
    "runs": f"{DEMO}/runs",
}
AT_200_PERCENT = {"width": 640, "height": 400}

# A link within a sentence has the size of its line; that is the exception of WCAG 2.2, 2.5.8.
# What a label belongs to is touched by touching the label.
SMALL_TARGETS = """
(least) => {
  const found = [];
  const isInSentence = (link) =>
    getComputedStyle(link).display === "inline" &&
    [...link.parentElement.childNodes].some((n) => n.nodeType === 3 && /\\w/.test(n.textContent));
  const box = (one) => one.getBoundingClientRect();
  const controls = "a[href], button, input, select, textarea, summary";
  for (const one of document.querySelectorAll(controls)) {
    if (one.type === "hidden" || !one.checkVisibility({ visibilityProperty: true })) continue;
    if (one.matches(".skip:not(:focus)") || (one.matches("a") && isInSentence(one))) continue;
    const boxes = [box(one), ...[...(one.labels ?? [])].map(box)];
    const isToggle = one.matches("[type=checkbox], [type=radio]");
    const [first, ...more] = isToggle ? boxes.slice(1) : boxes.slice(0, 1);
    if (Math.min(first.height, first.width) < least - 0.5) {
      const name = one.getAttribute("aria-label") ?? one.textContent.trim() ?? "";
      found.push(`${one.tagName} “${name || one.name}” ${first.width} × ${first.height}`);
    }
  }
  return found;
}
"""


def too_small(page):
    return page.evaluate(SMALL_TARGETS, TOUCH_PX)


def wider_than_screen(page):
    found = []
    for screen, (width, height) in SCREENS.items():
        page.set_viewport_size({"width": width, "height": height})
        needed = page.evaluate("document.documentElement.scrollWidth")
        if needed > width:
            found.append(f"{screen}: {needed} px")
    return found


def bars(page):
    """Whatever keeps somebody out, a line each."""
    return "\n".join([*barred_by_axe(page), *too_small(page), *wider_than_screen(page)])


@pytest.fixture(scope="module")
def places(desk):
    return laid_out(desk)


@pytest.mark.parametrize("state", some(STATES, is_like_another_state))
def test_page_bars_nobody(page, places, state):
    STATES[state].show(page, places)
    assert bars(page) == ""


def test_list_without_a_routine_bars_nobody(page, empty_server):
    page.goto(f"http://tablet.lan:{empty_server.port}/")
    assert page.get_by_text("No routine yet").is_visible()
    assert bars(page) == ""


@pytest.mark.parametrize("place", some(PLACES, all_but("plan")))
def test_a_place_bars_nobody_in_the_dark_in_forced_colours_or_at_200_percent(page, place):
    page.goto(PLACES[place])
    page.wait_for_load_state("networkidle")
    page.emulate_media(color_scheme="dark")
    found = barred_by_axe(page)
    page.emulate_media(color_scheme="light", forced_colors="active")
    found += barred_by_axe(page, has_own_colours=False)
    page.emulate_media(forced_colors="none")
    page.set_viewport_size(AT_200_PERCENT)
    assert [*found, *barred_by_axe(page)] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= AT_200_PERCENT["width"]
