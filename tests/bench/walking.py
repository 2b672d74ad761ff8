"""A person at a browser, counted: clicks, keys, pages loaded, pixels scrolled."""

from dataclasses import dataclass

from playwright.sync_api import Locator, Page, Request

SETTLED_MS = 60
MOST_WAITS = 100
A_FIELD = ":is(input, textarea):focus"

BRING_INTO_VIEW = """
(one) => {
  const before = one.getBoundingClientRect().top;
  one.scrollIntoView({ block: "nearest", behavior: "instant" });
  const stuck = [...document.querySelectorAll("header, nav, .form-end")].filter((each) =>
    ["fixed", "sticky"].includes(getComputedStyle(each).position) && !each.contains(one));
  const boxes = stuck.map((each) => each.getBoundingClientRect());
  const top = Math.max(0, ...boxes.filter((box) => box.top <= 0).map((box) => box.bottom));
  const foot = Math.min(innerHeight,
    ...boxes.filter((box) => box.bottom >= innerHeight - 1).map((box) => box.top));
  const box = one.getBoundingClientRect();
  const below = Math.min(box.bottom - foot, box.top - top);
  if (box.bottom > foot) scrollBy({ top: below, behavior: "instant" });
  else if (box.top < top) scrollBy({ top: box.top - top, behavior: "instant" });
  return Math.abs(before - one.getBoundingClientRect().top);
}
"""
"""Scrolls as little as shows the whole of something, past what stands over it; says how far."""


@dataclass(frozen=True)
class Walked:
    """What a task took."""

    clicks: int
    keys: int
    loads: int
    scrolled_px: float


class Walk:
    """One way through the app from the page that is open; all that is done is counted."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self._clicks = self._keys = self._loads = 0
        self._scrolled_px = 0.0
        self._asked: set[Request] = set()
        page.on("request", self._asks)
        page.on("requestfinished", self._answered)
        page.on("requestfailed", self._answered)

    def see(self, shown: Locator) -> None:
        """Scroll until the whole of something is in view."""
        shown = shown.first
        shown.wait_for()
        self._scrolled_px += shown.evaluate(BRING_INTO_VIEW)

    def click(self, target: Locator) -> None:
        """Scroll to something as far as it takes, and click it."""
        self.see(target)
        target.first.click()
        self._clicks += 1
        self._settle()

    def press(self, name: str, *, exact: bool = False) -> None:
        """Click the button or link of that name."""
        self.click(self.named(name, exact=exact))

    def named(self, name: str, *, exact: bool = False) -> Locator:
        """The button or link of that name."""
        found = [
            self.page.get_by_role(role, name=name, exact=exact)  # type: ignore[arg-type]
            for role in ("button", "link")
        ]
        return found[0].or_(found[1])

    def type(self, text: str) -> None:
        """Type into the field that has the focus."""
        self.page.locator(A_FIELD).wait_for()
        self.page.keyboard.type(text)
        self._keys += len(text)
        self._see_the_focus()

    def paste(self, text: str) -> None:
        """Paste into the field that has the focus: one key."""
        self.page.locator(A_FIELD).wait_for()
        self.page.keyboard.insert_text(text)
        self._keys += 1
        self._see_the_focus()

    def choose(self, choice: Locator, words: str) -> None:
        """Click the option of an open list."""
        choice.select_option(label=words)
        self._clicks += 1
        self._settle()

    def key(self, name: str) -> None:
        """Press one key; what the browser scrolls to keep the focus in view is scrolled too."""
        before_px, loads = self._top_px(), self._loads
        self.page.keyboard.press(name)
        self._keys += 1
        self._settle()
        self._scrolled_px += abs(self._top_px() - before_px) if loads == self._loads else 0
        self._see_the_focus()

    @property
    def walked(self) -> Walked:
        """What it took until now."""
        return Walked(self._clicks, self._keys, self._loads, self._scrolled_px)

    def _see_the_focus(self) -> None:
        focused = self.page.locator(":focus")
        if focused.count():
            self._scrolled_px += focused.first.evaluate(BRING_INTO_VIEW)

    def _top_px(self) -> float:
        top: float = self.page.evaluate("scrollY")
        return top

    def _settle(self) -> None:
        """Wait until nothing is asked of the server any more."""
        self.page.wait_for_timeout(SETTLED_MS)
        for _ in range(MOST_WAITS):
            if not self._asked:
                break
            self.page.wait_for_timeout(SETTLED_MS)
        self.page.wait_for_timeout(SETTLED_MS)

    def _answered(self, request: Request) -> None:
        self._asked.discard(request)

    def _asks(self, request: Request) -> None:
        if request.resource_type != "eventsource":
            self._asked.add(request)
        is_page = request.is_navigation_request() and request.frame == self.page.main_frame
        # Where a page leads on to another, one is seen.
        if is_page and request.redirected_from is None:
            self._loads += 1
