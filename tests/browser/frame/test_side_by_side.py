"""Rows: what belongs together stands side by side, whole, at every width it is looked at."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.coach_page import CoachPage, code_for

pytestmark = pytest.mark.only_looks

DEMO = "/routines/routine-demo"
PHONE = {"width": 360, "height": 640}
TABLET = {"width": 800, "height": 1280}

LEFT_OF_EACH = "parts => parts.map(part => Math.round(part.getBoundingClientRect().left))"
TOP_OF_EACH = "parts => parts.map(part => Math.round(part.getBoundingClientRect().top))"
LINES_OF_WORDS = """
names => names.flatMap(name => {
  const text = name.firstChild;
  return [...text.data.matchAll(/\\S+/g)].map(word => {
    const range = document.createRange();
    range.setStart(text, word.index);
    range.setEnd(text, word.index + word[0].length);
    return range.getClientRects().length;
  });
})
"""


@pytest.fixture(scope="module")
def poured(desk):
    """The start of the addresses of a routine with a drink that two things are to be said of."""
    routine = desk.routine("Two mornings", {"Hay loft, introduction": "0:40", "Close": "0:20"})
    path = f"/routines/{routine}"
    said = "You will find honey and strawberry. Thank you all, and good night."
    for name, segment in desk.ids(routine).items():
        desk.send_form(
            f"{path}/segments/{segment}", name=name, likely="0:30", lane="both", said=said
        )
    desk.send_form(f"{path}/drinks/new", name="Hay Loft", serves="2", descriptors="honey")
    drink = desk.ids(routine, "drinks")["Hay Loft"]
    parts = {"amount-0": "400 ml", "name-0": "espresso", "amount-1": "1 tsp", "name-1": "honey"}
    taken = {"for": "2", "take-0": "yes", "take-1": "yes"}
    known = {"library-0": "Espresso", "library-1": "Honey"}
    desk.send_form(f"{path}/drinks/{drink}/lines", **taken, **parts, **known)
    first, second = desk.ids(routine).values()
    desk.send_form(f"{path}/processes/new", name="Drip", likely="0:10", after=first, before=second)
    return path


def test_every_fact_of_a_declaration_stands_right_of_its_name(page, poured):
    page.goto(f"{poured}/declaration")
    facts = page.locator(".declared-facts dd")
    assert facts.filter(has_text=re.compile("caffeine|infan|child")).count() > 1
    assert len(set(facts.evaluate_all(LEFT_OF_EACH))) == 1


def test_what_a_declaration_wants_settled_leaves_its_title_on_one_line(page, poured):
    page.goto(f"{poured}/declaration")
    assert page.locator(".declare-head .notice").count() == 2
    assert page.locator("h1").evaluate("h1 => h1.getClientRects().length") == 1
    line_px = page.locator("h1").evaluate("h1 => parseFloat(getComputedStyle(h1).lineHeight)")
    assert page.locator("h1").bounding_box()["height"] < 1.5 * line_px


def test_on_a_phone_a_batch_shows_what_to_measure(page):
    page.set_viewport_size(PHONE)
    page.goto(f"{DEMO}/drinks/drink-lamp/batch")
    frame = page.locator(".batch-table")
    assert frame.evaluate("frame => frame.scrollWidth - frame.clientWidth") == 0


def test_on_a_phone_no_word_of_a_segment_to_learn_is_broken(page, poured):
    page.set_viewport_size(PHONE)
    page.goto(f"{poured}/learn")
    assert page.locator(".learn-due").count()
    assert set(page.locator(".learn-name").evaluate_all(LINES_OF_WORDS)) == {1}


def test_on_a_phone_all_times_of_a_stage_sheet_end_at_one_edge(page, poured):
    page.set_viewport_size(PHONE)
    page.goto(f"{poured}/plan/sheet")
    assert page.locator("tr.moment.start").count() == 1
    assert len(set(page.locator(".stage-sheet tbody tr").evaluate_all(LEFT_OF_EACH))) == 1
    assert (
        len(set(page.locator(".stage-sheet tbody td:first-child").evaluate_all(LEFT_OF_EACH))) == 1
    )


def test_on_a_tablet_both_ways_to_another_run_stand_in_one_row(page):
    page.set_viewport_size(TABLET)
    page.goto(f"{DEMO}/runs")
    ways = page.locator(".run-by-hand, .run-from-take")
    assert ways.count() == 2
    assert len(set(ways.evaluate_all(TOP_OF_EACH))) == 1


def test_after_a_run_all_tools_of_a_watcher_stand_in_one_row(page, base_url, desk, poured):
    run = desk.paper_run(poured.split("/")[2], "0:40", "0:20")
    coach = CoachPage(page, base_url, run).join(code_for(desk, run))
    tools = coach.page.locator(".tools .actions > :visible")
    expect(tools).to_have_count(2)
    assert len(set(tools.evaluate_all(TOP_OF_EACH))) == 1
