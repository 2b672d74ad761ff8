"""Who goes by keyboard sees where they are, at 200 % of a small laptop too (WCAG 2.2, 2.4.11)."""

import pytest

from tests.browser.frame.test_accessibility import AT_200_PERCENT, DEMO

pytestmark = pytest.mark.only_looks

# Each control in turn has the focus; told are those of which nothing is to be seen then.
HIDDEN_WITH_FOCUS = """
() => {
  const controls = "main :is(a[href], button, input, select, textarea, summary, [tabindex='0'])";
  const isSeen = (one) => {
    const own = [one, ...(one.labels ?? [])];
    return own.some((each) => {
      const { left, right, top, bottom } = each.getBoundingClientRect();
      const across = [left + 3, (left + right) / 2, right - 3];
      const down = [top + 3, (top + bottom) / 2, bottom - 3];
      return across.some((x) => down.some((y) => {
        const hit = document.elementFromPoint(x, y);
        return hit !== null && own.some((part) => part.contains(hit) || hit.contains(part));
      }));
    });
  };
  const hidden = [];
  for (const one of document.querySelectorAll(controls)) {
    if (!one.checkVisibility({ visibilityProperty: true }) || one.disabled) continue;
    one.focus();
    if (document.activeElement !== one || isSeen(one)) continue;
    hidden.push(`${one.localName} “${one.textContent.trim() || one.name}”`);
  }
  return hidden;
}
"""
PAGES = {
    "plan": f"{DEMO}/plan",
    "script": f"{DEMO}/script",
    "claims": f"{DEMO}/claims",
    "runs": f"{DEMO}/runs",
    "run": "/runs/run-demo-12",
    "a segment": f"{DEMO}/plan?edit=segment-seg-welcome",
    "a tasting to set up": f"{DEMO}/tastings?edit=list",
}


@pytest.mark.parametrize("name", PAGES)
def test_what_has_the_focus_is_not_hidden_beneath_what_stays_in_view(page, name):
    page.set_viewport_size(AT_200_PERCENT)
    page.goto(PAGES[name])
    assert page.evaluate(HIDDEN_WITH_FOCUS) == []


def test_a_panel_that_covers_all_keeps_tab_to_itself_and_the_frame(page):
    page.set_viewport_size(AT_200_PERCENT)
    page.goto(PAGES["a tasting to set up"])
    reached = set()
    for _ in range(40):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.textContent.trim()"))
    assert "Set it up" in reached
    assert "New blind list" not in reached
