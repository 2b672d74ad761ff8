"""What axe-core holds against a page."""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

OF_COLOURS = ("color-contrast", "link-in-text-block")
OF_THE_SCREEN = (
    "css-orientation-lock", "meta-viewport", "scrollable-region-focusable",
    "nested-interactive", "aria-hidden-focus",
)  # fmt: skip
"""Rules that a scheme of colours, or the width of the screen, can break by itself."""


HELD_AGAINST = """
async (options) => {
  const report = await axe.run(options);
  const lines = ({ id, nodes }) => nodes.map((node) => `${id}: ${node.html}`);
  return report.violations.flatMap(lines);
}
"""


def barred_by_axe(page: Page, *, only: tuple[str, ...] = ()) -> list[str]:
    """Whatever axe-core finds, a line each; without the colours of something that moves.

    Rules that are named in `only` are judged alone, which takes about half the time.
    """
    # Colours are read at any moment: in the flash of a press they are those of no state.
    page.emulate_media(reduced_motion="reduce")
    # All that is in order would be as long as the page itself, and longer.
    options: dict[str, object] = {"resultTypes": ["violations"]}
    if only:
        options["runOnly"] = {"type": "rule", "values": list(only)}
    page.evaluate(AXE_SCRIPT)
    found: list[str] = page.evaluate(HELD_AGAINST, options)
    return found
