"""What axe-core holds against a page."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

OF_COLOURS = ("color-contrast", "link-in-text-block")
OF_THE_SCREEN = (
    "css-orientation-lock", "meta-viewport", "scrollable-region-focusable",
    "nested-interactive", "aria-hidden-focus",
)  # fmt: skip
"""Rules that a scheme of colours, or the width of the screen, can break by itself."""


def barred_by_axe(page: Page, *, only: tuple[str, ...] = ()) -> list[str]:
    """Whatever axe-core finds, a line each; without the colours of something that moves.

    Rules that are named in `only` are judged alone, which takes about half the time.
    """
    # Colours are read at any moment: in the flash of a press they are those of no state.
    page.emulate_media(reduced_motion="reduce")
    options = {"runOnly": {"type": "rule", "values": list(only)}} if only else {}
    report = Axe().run(page, options=options).response["violations"]
    return [f"{each['id']}: {node['html']}" for each in report for node in each["nodes"]]
