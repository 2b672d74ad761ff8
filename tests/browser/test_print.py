"""Paper: what is printed is what is read, without the controls, and nothing runs off the sheet."""

import re

import pytest

from tests.browser.thorough import all_but, some

DEMO = "/routines/routine-demo"
PAGES = {
    "drinks": f"{DEMO}/drinks",
    "declaration": f"{DEMO}/declaration",
    "script": f"{DEMO}/script",
    "claims": f"{DEMO}/claims",
    "words": f"{DEMO}/words",
    "plan": f"{DEMO}/plan",
    "risk": f"{DEMO}/plan/risk",
    "stage sheet": f"{DEMO}/plan/sheet",
    "runs": f"{DEMO}/runs",
    "one run": "/runs/run-demo-06",
    "drift": f"{DEMO}/drift",
    "two groups": f"{DEMO}/drift/compare",
    "sessions": f"{DEMO}/drift/sessions",
}
CSS_PX_PER_MM = 96 / 25.4
MARGINS_MM = 2 * 14
A4_MM = (210, 297)


@pytest.fixture(params=some(PAGES, all_but("drinks", "plan", "runs", "drift", "declaration")))
def paper(request, page):
    """A page as it is laid out for an upright sheet of A4."""
    page.goto(PAGES[request.param])
    page.emulate_media(media="print")
    width, height = (round((mm - MARGINS_MM) * CSS_PX_PER_MM) for mm in A4_MM)
    page.set_viewport_size({"width": width, "height": height})
    return page


def test_controls_and_ways_elsewhere_are_not_printed(paper):
    controls = "button, nav, .masthead, .button, .grip, .quick-add, .skip, .crumb, .ways"
    printed = [each.inner_text() for each in paper.locator(controls).all() if each.is_visible()]
    assert printed == []
    assert paper.get_by_role("heading", level=1).is_visible()


def test_table_of_splits_fits_a_sheet_turned_on_its_side(page):
    page.goto(PAGES["runs"])
    page.emulate_media(media="print")
    height, width = (round((mm - MARGINS_MM) * CSS_PX_PER_MM) for mm in A4_MM)
    page.set_viewport_size({"width": width, "height": height})
    table = page.locator("table.splits").bounding_box()
    assert table["x"] + table["width"] <= width
    wide = "cells => cells.filter(cell => cell.scrollWidth > cell.clientWidth).length"
    assert page.locator(".splits tbody td").evaluate_all(wide) == 0


def test_runs_print_on_few_sheets_the_last_of_them_on_its_side(page):
    page.goto(PAGES["runs"])
    pdf = page.pdf(format="A4", prefer_css_page_size=True)
    sizes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    turned = [float(width) > float(height) for width, height in sizes]
    assert turned == [False, False, True]


def test_each_drink_is_declared_on_a_page_of_its_own(page):
    page.goto(PAGES["declaration"])
    pdf = page.pdf(format="A4", prefer_css_page_size=True)
    assert len(re.findall(rb"/Type /Page\b", pdf)) == 2


def test_stage_sheet_of_the_demo_is_one_sheet_of_paper(page):
    page.goto(PAGES["stage sheet"])
    pdf = page.pdf(format="A4", prefer_css_page_size=True)
    assert len(re.findall(rb"/MediaBox", pdf)) == 1


def test_pictures_are_as_wide_as_the_sheet_and_every_one_is_drawn(page):
    page.goto(PAGES["drift"])
    page.locator("[data-picture] svg").first.wait_for()
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    width, height = (round((mm - MARGINS_MM) * CSS_PX_PER_MM) for mm in A4_MM)
    page.set_viewport_size({"width": width, "height": height})
    pictures = page.locator(".picture .drawing svg")
    boxes = [each.bounding_box() for each in pictures.all()]
    assert len(boxes) == page.locator("[data-picture]").count()
    assert all(box["x"] + box["width"] <= width and box["height"] > 40 for box in boxes)
