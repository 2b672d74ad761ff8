"""Paper: what is printed is what is read, without the controls, and nothing runs off the sheet."""

import re

import pytest

from tests.browser.chromium import HOST
from tests.browser.paper import sheets_of
from tests.owner import as_owner
from tests.thorough import all_but, few, some

pytestmark = pytest.mark.only_looks

DEMO = "/routines/routine-demo"
PAGES = {
    "drinks": f"{DEMO}/drinks",
    "declaration": f"{DEMO}/declaration",
    "script": f"{DEMO}/script",
    "claims": f"{DEMO}/claims",
    "words": f"{DEMO}/words",
    "two drinks": f"{DEMO}/drinks/compare",
    "plan": f"{DEMO}/plan?open=segment-seg-espresso",
    "risk": f"{DEMO}/plan/risk",
    "today": DEMO,
    "stage sheet": f"{DEMO}/plan/sheet",
    "runs": f"{DEMO}/runs",
    "runs in figures": f"{DEMO}/runs?show=figures",
    "one run": "/runs/run-demo-06?open=all",
    "drift": f"{DEMO}/drift?open=report",
    "two groups": f"{DEMO}/drift/compare",
    "sessions": f"{DEMO}/runs?show=sessions",
}
TO_HANG_UP = {
    "cue cards": f"{DEMO}/learn/cards",
    "station": f"{DEMO}/station",
    "made ahead": f"{DEMO}/prep",
    "kit": f"{DEMO}/prepare",
}
"""Pages that are made for paper: boxes to tick, cards to cut."""
SHEETS = {
    "drinks": 2,
    "declaration": 2,
    "script": 3,
    "claims": 14,
    "words": 1,
    "two drinks": 1,
    "plan": 3,
    "risk": 1,
    "today": 1,
    "stage sheet": 1,
    "runs": 1,
    "runs in figures": 4,
    "one run": 2,
    "drift": 9,
    "two groups": 2,
    "sessions": 2,
    "cue cards": 4,
    "station": 2,
    "made ahead": 1,
    "kit": 1,
}
"""How many sheets of paper, A4 or Letter, a page of the demo may take."""
FORMATS = ("A4", "Letter")
CSS_PX_PER_MM = 96 / 25.4
PT_PER_CSS_PX = 0.75
SMALLEST_LETTERING_PT = 7
MARGINS_MM = 2 * 14
A4_MM = (210, 297)


@pytest.fixture(scope="module")
def printer(browser, base_url):
    """How many sheets a page takes; one window prints them all."""
    context = browser.new_context(base_url=base_url, **as_owner(HOST))
    page = context.new_page()

    def sheets(path, paper):
        page.goto(path)
        return sheets_of(page, paper)

    yield sheets
    context.close()


@pytest.fixture(params=some(PAGES, all_but("plan", "drift", "declaration")))
def paper(request, page):
    """A page as it is laid out for an upright sheet of A4."""
    page.goto(PAGES[request.param])
    page.emulate_media(media="print")
    width, height = (round((mm - MARGINS_MM) * CSS_PX_PER_MM) for mm in A4_MM)
    page.set_viewport_size({"width": width, "height": height})
    return page


def test_controls_and_ways_elsewhere_are_not_printed(paper):
    controls = "button, nav, .button, .grip, .skip, main :is(input, select, textarea)"
    printed = [
        each.evaluate("one => one.outerHTML")
        for each in paper.locator(controls).all()
        if each.is_visible()
    ]
    assert printed == []
    assert paper.get_by_role("heading", level=1).is_visible()


@pytest.mark.parametrize("name", ["plan", "plan/sheet", "script", "runs", "prepare"])
def test_paper_says_which_routine_it_is_of(page, name):
    page.goto(f"/routines/routine-demo/{name}")
    page.emulate_media(media="print")
    assert page.locator(".title-line").get_by_text("Lamp and Orchard (demo)").is_visible()


@pytest.mark.thorough
def test_table_of_splits_fits_a_sheet_turned_on_its_side(page):
    page.goto(PAGES["runs in figures"])
    page.emulate_media(media="print")
    height, width = (round((mm - MARGINS_MM) * CSS_PX_PER_MM) for mm in A4_MM)
    page.set_viewport_size({"width": width, "height": height})
    table = page.locator("table.splits").bounding_box()
    assert table["x"] + table["width"] <= width
    wide = "cells => cells.filter(cell => cell.scrollWidth > cell.clientWidth).length"
    assert page.locator(".splits tbody td").evaluate_all(wide) == 0


def test_runs_print_on_few_sheets_one_of_them_on_its_side(page):
    page.goto(PAGES["runs in figures"])
    pdf = page.pdf(format="A4", prefer_css_page_size=True)
    sizes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    turned = [float(width) > float(height) for width, height in sizes]
    assert turned.count(True) == 1
    assert len(turned) <= 4


def test_each_drink_is_declared_on_a_page_of_its_own(page):
    page.goto(PAGES["declaration"])
    pdf = page.pdf(format="A4", prefer_css_page_size=True)
    assert len(re.findall(rb"/Type /Page\b", pdf)) == 2


@pytest.mark.parametrize("name", some(SHEETS, all_but("drinks", "stage sheet", "cue cards")))
@pytest.mark.parametrize("paper", few(FORMATS))
def test_a_page_takes_no_more_sheets_than_it_fills(printer, name, paper):
    assert printer((PAGES | TO_HANG_UP)[name], paper) <= SHEETS[name]


@pytest.mark.parametrize("paper", few(FORMATS))
@pytest.mark.parametrize(
    ("segments", "words", "sheets"),
    few([(12, 9, 1), (12, 20, 2), (3, 5, 1), (20, 3, 1)], kept=2),
)
def test_a_stage_sheet_is_one_sheet_while_its_type_can_be_read(
    desk, printer, segments, words, sheets, paper
):
    named = {f"Segment {n} of the evening": "0:15" for n in range(segments)}
    routine_id = desk.routine(f"{segments} on {paper}", named)
    for name, segment_id in desk.ids(routine_id).items():
        told = {"name": name, "likely": "0:15", "lane": "both", "hands": "Hold the jug, " * words}
        desk.send_form(f"/routines/{routine_id}/segments/{segment_id}", **told)
    assert printer(f"/routines/{routine_id}/plan/sheet", paper) == sheets


@pytest.mark.thorough
def test_a_run_on_paper_holds_no_boxes_but_what_was_written_in_them(page):
    page.goto(PAGES["one run"])
    page.emulate_media(media="print")
    boxes = page.locator("main").locator("input, textarea, select")
    assert [box.get_attribute("id") for box in boxes.all() if box.is_visible()] == []
    assert page.locator(".own-notes", has_text="Did not press").is_visible()


def printed_drift(page):
    """The drift page as it is printed; returns the width of the sheet in px."""
    page.goto(PAGES["drift"])
    page.locator("[data-picture] svg").first.wait_for()
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    width, height = (round((mm - MARGINS_MM) * CSS_PX_PER_MM) for mm in A4_MM)
    page.set_viewport_size({"width": width, "height": height})
    return width


def test_pictures_are_as_wide_as_the_sheet_and_every_one_is_drawn(page):
    width = printed_drift(page)
    pictures = page.locator(".picture .drawing svg")
    boxes = [each.bounding_box() for each in pictures.all()]
    assert len(boxes) == page.locator("[data-picture]").count()
    assert all(box["x"] + box["width"] <= width and box["height"] > 40 for box in boxes)


LETTERING_PT = """
(pt) => [...document.querySelectorAll(".picture svg")].flatMap((svg) => {
  const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return [...svg.querySelectorAll("text")].map(
    (text) => parseFloat(getComputedStyle(text).fontSize) * scale * pt);
})
"""


@pytest.mark.thorough
def test_lettering_of_pictures_can_be_read_on_paper(page):
    printed_drift(page)
    sizes = page.evaluate(LETTERING_PT, PT_PER_CSS_PX)
    assert len(sizes) > 50
    assert min(sizes) >= SMALLEST_LETTERING_PT
