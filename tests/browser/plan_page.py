"""The plan as a person uses it: its lines, what opens beside them, and its tape."""

from playwright.sync_api import Locator, Page, expect


def line(page: Page, name: str) -> Locator:
    """The line of a segment or a process in the list."""
    return page.locator(".plan-row", has=page.locator(".name").get_by_text(name, exact=True))


def names(page: Page) -> list[str]:
    """The names in the list, in its order."""
    return page.locator(".plan-row .name").all_inner_texts()


def lasts(page: Page, name: str) -> Locator:
    """The planned time in the line of a segment."""
    return line(page, name).locator("[data-figure^='segment-lasts:']")


def look(page: Page, name: str) -> Locator:
    """Open a segment or a process beside the list; returns the panel."""
    line(page, name).locator("a").click()
    panel = page.locator("[data-panel]")
    expect(panel.get_by_role("heading", level=2)).to_contain_text(name)
    return panel


def edit(page: Page, name: str) -> Locator:
    """Open the whole form of a segment; returns it."""
    look(page, name).get_by_role("link", name=f"More of {name}").click()
    form = page.get_by_role("form", name=f"Edit {name}", exact=True)
    form.wait_for()
    return form


def delete(page: Page, name: str) -> None:
    """Delete a segment by the button beneath its form."""
    edit(page, name)
    page.get_by_role("button", name=f"Delete {name}", exact=True).click()
    # The entry of the form is taken back from the history, which takes a moment.
    page.wait_for_url("**/plan")
