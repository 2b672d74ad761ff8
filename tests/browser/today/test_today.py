"""Today, and the frame around every page, as a person uses them."""

import re

import pytest
from playwright.sync_api import expect

from tests.thorough import few

DEMO = "/routines/routine-demo"
PLACES = {
    "t": "Today", "d": "Drinks", "s": "Script", "p": "Plan", "k": "Prepare", "r": "Runs",
}  # fmt: skip


@pytest.mark.parametrize("key", few(PLACES))
def test_every_place_is_one_key_away(page, key):
    page.goto(f"{DEMO}/details")
    page.keyboard.press(key)
    expect(page.locator(".five [aria-current=page]")).to_have_text(PLACES[key])


def test_a_question_mark_tells_the_keys(page):
    page.goto(DEMO)
    page.keyboard.press("?")
    expect(page.get_by_role("dialog")).to_contain_text("Rehearse")
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_be_hidden()


def test_keys_mean_nothing_while_somebody_types(page):
    page.goto(f"{DEMO}/details")
    page.get_by_label("Presenter").press_sequentially("drs?")
    expect(page.locator(".five [aria-current=page]")).to_have_count(0)
    expect(page.get_by_role("dialog")).to_be_hidden()


def test_a_touch_settles_a_line_and_undo_brings_it_back(page, desk):
    name = desk.routine("Cures", {"Greet": "0:20"})
    for _ in range(3):
        desk.paper_run(name, "0:26")
    page.goto(f"/routines/{name}")
    line = page.locator(".steps li", has_text="Greet")
    line.get_by_role("button", name=re.compile("^Plan")).click()
    expect(line).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(line).to_have_count(1)


def test_a_new_routine_is_on_the_clock_within_a_few_touches(page, empty_server):
    page.goto(f"http://tablet.lan:{empty_server.port}/")
    page.get_by_label("Name", exact=True).fill("First")
    page.get_by_role("button", name="Create routine").click()
    page.get_by_label("How many drinks").fill("2")
    page.get_by_role("button", name="Start from an empty pattern").click()
    page.get_by_role("heading", name="No run yet").wait_for()
    page.get_by_role("link", name="Rehearse").first.click()
    page.get_by_role("button", name="Open the stage").click()
    expect(page).to_have_url(re.compile("/stage$"))


def test_the_name_of_the_routine_opens_what_belongs_to_all_of_it(page):
    page.goto(f"{DEMO}/plan")
    page.locator("details.menu summary").click()
    page.get_by_role("link", name="Details, copy, export").click()
    expect(page).to_have_url(re.compile("/details$"))


def test_today_fits_a_screen(page):
    page.goto(DEMO)
    assert page.evaluate("document.documentElement.scrollHeight") <= 800
