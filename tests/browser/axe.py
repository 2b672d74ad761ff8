"""What axe-core holds against a page."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page


def barred_by_axe(page: Page, *, has_own_colours: bool = True) -> list[str]:
    """Whatever axe-core finds, a line each; without the colours of something that moves.

    Where the browser forces its own colours, axe would still judge those of the sheets.
    """
    # Colours are read at any moment: in the flash of a press they are those of no state.
    page.emulate_media(reduced_motion="reduce")
    rules = {"color-contrast": {"enabled": has_own_colours}}
    report = Axe().run(page, options={"rules": rules}).response["violations"]
    return [f"{each['id']}: {node['html']}" for each in report for node in each["nodes"]]
