"""No page bars anyone: by axe-core, by the size of what is touched, by the width of the screen."""

import pytest

from tests.browser.axe import OF_COLOURS, OF_THE_SCREEN, barred_by_axe
from tests.browser.states import STATES, laid_out
from tests.thorough import is_like_another_state, some

pytestmark = pytest.mark.only_looks

TOUCH_PX = 48
SCREENS = {"a laptop": (1280, 800), "a tablet upright": (800, 1280), "a phone": (360, 740)}

DEMO = "/routines/routine-demo"
PLACES = {
    "script": f"{DEMO}/script",
    "plan": f"{DEMO}/plan?open=segment-seg-espresso",
    "runs": f"{DEMO}/runs",
}
MORE_PLACES = {
    "drinks": f"{DEMO}/drinks?edit=ingredient-in-pear",
    "kit": f"{DEMO}/prepare?open=tool:thermometer",
    "today": DEMO,
    "claims": f"{DEMO}/claims",
    "trends": f"{DEMO}/drift",
    "rehearse": f"{DEMO}/rehearse",
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
    // What is drawn to scale is as large as it is; a list beside the drawing opens each, too.
    if (one.closest("svg[data-scale]")) continue;
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

CUT_AT_THE_SIDE = """
() => document.documentElement.scrollWidth > innerWidth
  ? [`${document.documentElement.scrollWidth} px are wider than the screen`] : []
"""

# Nobody can scroll to what lies beyond the left edge.
LEFT_OF_THE_SCREEN = """
() => [...document.querySelectorAll("a[href], button, input, select, textarea, summary")]
  .filter((one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
  .filter((one) => !one.closest(".skip, [hidden], .visually-hidden") && one.type !== "hidden")
  .filter((one) => one.getBoundingClientRect().left < 0 && one.offsetWidth > 1)
  .map((one) => `${one.localName} “${one.textContent.trim() || one.name}” is left of the screen`)
"""

# Where the browser forces its own colours, what is chosen must still look unlike what is not.
UNSEEN_CHOICES = """
() => {
  const CHOSEN = "[aria-current], [aria-pressed=true]";
  const drawn = ["color", "backgroundColor", "borderTopWidth", "borderBottomWidth", "outlineStyle",
    "outlineWidth", "fontWeight", "textDecorationLine", "content"];
  const look = (one) => ["", "::before", "::after"].map((part) => {
    const style = getComputedStyle(one, part);
    return drawn.map((each) => style[each]).join();
  }).join();
  const unseen = (one) => {
    const group = one.closest("nav, ol, ul, [role=group]") ?? one.parentElement;
    const isLike = (each) => !each.matches(CHOSEN) && each.className === one.className;
    const others = [...group.querySelectorAll(one.localName)].filter(
      (each) => isLike(each) && each.checkVisibility());
    return others.length > 0 && others.every((each) => look(each) === look(one));
  };
  return [...document.querySelectorAll(CHOSEN)]
    .filter((one) => one.checkVisibility() && unseen(one))
    .map((one) => `does not look chosen: ${one.outerHTML.slice(0, 120)}`);
}
"""


def too_small(page):
    return page.evaluate(SMALL_TARGETS, TOUCH_PX)


def beyond_the_screen(page):
    found = []
    for screen, (width, height) in SCREENS.items():
        page.set_viewport_size({"width": width, "height": height})
        needed = page.evaluate("document.documentElement.scrollWidth")
        if needed > width:
            found.append(f"{screen}: {needed} px")
        found += [f"{screen}: {each}" for each in page.evaluate(LEFT_OF_THE_SCREEN)]
    return found


def bars(page):
    """Whatever keeps somebody out, a line each."""
    return "\n".join([*barred_by_axe(page), *too_small(page), *beyond_the_screen(page)])


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


@pytest.mark.parametrize(
    "paths", [PLACES, pytest.param(MORE_PLACES, marks=pytest.mark.thorough)], ids=", ".join
)
def test_places_hold_in_the_dark_at_200_percent_and_in_forced_colours(page, paths):
    found = {}
    for place, path in paths.items():
        page.set_viewport_size(AT_200_PERCENT)
        page.emulate_media(color_scheme="dark", forced_colors="none")
        page.goto(path)
        page.wait_for_load_state("networkidle")
        barred = barred_by_axe(page, only=OF_COLOURS + OF_THE_SCREEN)
        barred += page.evaluate(CUT_AT_THE_SIDE)
        page.emulate_media(forced_colors="active")
        barred += page.evaluate(UNSEEN_CHOICES)
        if barred:
            found[place] = barred
    assert found == {}
