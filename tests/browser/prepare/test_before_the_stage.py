"""The days before the stage, gone through once: packed by two, bought, made, set out, printed."""

import re
from datetime import date, timedelta

import pytest
from playwright.sync_api import expect

from tests.browser.paper import sheets_of

TOMORROW = f"{date.today() + timedelta(days=1):%Y-%m-%d}T14:20"


@pytest.fixture
def copied(desk):
    """The address of a copy of the demo, which this test may change."""
    path = desk.send_form("/routines/routine-demo/copy", name="Before the stage")
    return f"/routines/{path.split('/')[2]}"


def unpacked(page):
    return page.locator("form[data-tick] > [aria-pressed=false]")


def test_two_pack_one_kit_though_one_of_them_loses_the_network(new_context, copied):
    here, other = new_context().new_page(), new_context().new_page()
    for page in (here, other):
        page.goto(f"{copied}/prepare")
    whole = unpacked(here).count()
    assert whole > 30
    other.context.set_offline(True)
    for _ in range(2):
        unpacked(other).last.click()
        unpacked(here).first.click()
    expect(other.locator("[data-unsent]")).to_have_count(2)
    other.context.set_offline(False)
    for page in (here, other):
        expect(unpacked(page)).to_have_count(whole - 4)
        expect(page.get_by_role("heading", level=1)).to_contain_text(f"4 of {whole} packed")
    expect(other.locator("[data-unsent]")).to_have_count(0)
    assert sheets_of(here) <= 2


@pytest.mark.parametrize("width", [1280, 1000])
def test_rows_begin_at_one_height_in_every_column_of_the_kit(page, copied, width):
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{copied}/prepare")
    boxes = [each.bounding_box() for each in page.locator("li.kit-row").all()]
    tops = {}
    for box in boxes:
        tops[round(box["x"])] = min(box["y"], tops.get(round(box["x"]), box["y"]))
    assert len(tops) == (4 if width == 1280 else 2)
    assert max(tops.values()) - min(tops.values()) < 1


def test_an_open_kit_is_told_when_more_is_needed_than_was_packed(page, copied, desk):
    page.goto(f"{copied}/prepare")
    cups = page.locator("form[data-tick]").filter(has_text="Small cup")
    box = cups.get_by_role("button")
    box.click()
    expect(box).to_have_attribute("aria-pressed", "true")
    expect(page.locator("[data-unsent]")).to_have_count(0)
    desk.send_form(f"{copied}/prepare/reserve", reserve="10", spare="3")
    expect(box).to_have_attribute("aria-pressed", "false")
    expect(cups).to_contain_text("packed for 4 + 1, 4 + 3 needed now")
    box.click()
    expect(box).to_have_attribute("aria-pressed", "true")
    expect(cups).not_to_contain_text("needed now")
    expect(page.locator("[data-unsent]")).to_have_count(0)
    page.reload()
    expect(box).to_have_attribute("aria-pressed", "true")


def test_who_packs_is_told_when_their_device_was_taken_out_and_loses_no_tick(page, copied):
    page.goto(f"{copied}/prepare")
    told = page.get_by_text("What is ticked here reaches nobody")
    expect(told).to_be_hidden()
    page.route("**/prepare/ticks*", lambda route: route.fulfill(status=403))
    unpacked(page).first.click()
    expect(told).to_be_visible()
    page.unroute("**/prepare/ticks*")
    expect(told).to_be_hidden()
    expect(page.locator("[data-unsent]")).to_have_count(0)


def test_what_to_buy_and_to_make_follows_from_runs_and_the_hour_on_stage(page, copied):
    page.goto(f"{copied}/shopping?edit=runs")
    page.get_by_label("Practice runs").fill("6")
    page.get_by_label("Dress runs").fill("0")
    page.get_by_label("Events").fill("1")
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".headline")).to_contain_text("For 6 practice runs, 1 event")
    assert sheets_of(page) <= 2
    page.goto(f"{copied}/prep?edit=journey")
    page.get_by_role("textbox", name="On stage").fill(TOMORROW)
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#panel")).to_have_count(0)
    expect(page.locator(".headline")).to_contain_text("14:20")
    expect(page.locator(".prep-day").last).to_contain_text("Travel")
    assert sheets_of(page) <= 2
    page.goto(f"{copied}/station")
    stood = page.get_by_role("link", name=re.compile(r"^\d+ "))
    expect(stood.first).to_be_visible()
    assert stood.count() >= 18
    assert sheets_of(page) <= 2
