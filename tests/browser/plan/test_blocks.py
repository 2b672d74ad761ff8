"""The plan's tape taken hold of: by pointer, by keyboard, and what is tried and taken over."""

import pytest
from playwright.sync_api import expect

from tests.browser.plan_page import lasts, look, names

SEGMENTS = {"Greet": "1:00", "Grind": "2:00", "Brew": "3:00", "Serve": "2:00"}


@pytest.fixture
def plan(page, routine):
    """The plan page of a routine with four segments, its figures there."""
    page.goto(f"{routine}/plan")
    page.locator("[data-figure^='inside:']").wait_for()
    return page


def block(page, name):
    return page.get_by_role("slider", name=name)


def width(page, name):
    return block(page, name).bounding_box()["width"]


def grab(page, name, *, edge=False):
    """Press the pointer on a block, or on its right edge; returns where."""
    block(page, name).scroll_into_view_if_needed()
    box = block(page, name).bounding_box()
    x = box["x"] + (box["width"] - 4 if edge else box["width"] / 2)
    y = box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    return x, y


@pytest.mark.thorough
def test_dragging_the_edge_of_a_block_makes_the_segment_longer(plan):
    second_px = width(plan, "Grind") / 120
    finish = plan.locator(".headline [data-figure^='finish:']")
    before = finish.inner_text()
    x, y = grab(plan, "Grind", edge=True)
    plan.mouse.move(x + 30 * second_px, y, steps=6)
    expect(finish).not_to_have_text(before)
    expect(plan.locator("#tape-said")).to_contain_text("in 100 finish within")
    plan.mouse.up()
    expect(lasts(plan, "Grind")).to_have_text("2:30")
    expect(plan.locator(".history")).to_contain_text("“Grind” 0:30 longer")


def test_dragging_the_edge_moves_what_comes_behind_before_anything_is_saved(plan):
    start = block(plan, "Serve").bounding_box()["x"]
    x, y = grab(plan, "Grind", edge=True)
    plan.mouse.move(x + 60, y, steps=4)
    plan.wait_for_function(
        "start => document.querySelector('[aria-label=\"4. Serve\"]')"
        ".getBoundingClientRect().x > start + 40",
        arg=start,
    )
    plan.mouse.up()


def test_dragging_a_block_moves_the_segment(plan):
    target = block(plan, "Serve").bounding_box()
    _, y = grab(plan, "Greet")
    plan.mouse.move(target["x"] + target["width"] - 3, y, steps=6)
    plan.mouse.up()
    expect(plan.locator(".plan-row .name").last).to_have_text("Greet")
    assert names(plan) == ["Grind", "Brew", "Serve", "Greet"]


def test_a_click_on_a_block_opens_its_segment_and_changes_nothing(plan):
    grab(plan, "Grind")
    plan.mouse.up()
    expect(plan.locator("[data-panel] h2")).to_have_text("2 Grind")
    plan.wait_for_url("**/plan?open=segment-*")
    assert lasts(plan, "Grind").inner_text() == "2:00"
    expect(plan.locator(".history")).to_contain_text("added “Serve”")
    plan.go_back()
    expect(plan.locator("[data-panel]")).to_have_count(0)


def test_taps_on_seconds_are_followed_at_once_and_each_is_an_edit(plan):
    panel = look(plan, "Grind")
    for name in ("5 seconds more", "1 second more", "1 second more"):
        panel.get_by_role("button", name=name).click()
    expect(panel.locator("#nudged")).to_have_text("2:07")
    expect(lasts(plan, "Grind")).to_have_text("2:07")
    expect(plan.locator(".history")).to_contain_text("“Grind” 0:01 longer")
    expect(plan.get_by_role("main")).to_have_count(1)
    expect(plan.get_by_role("banner")).to_have_count(1)
    expect(panel.get_by_role("button", name="1 second more")).to_be_focused()
    plan.get_by_role("button", name="Undo").click()
    expect(lasts(plan, "Grind")).to_have_text("2:06")


@pytest.mark.thorough
def test_a_segment_stays_open_while_it_is_moved(plan):
    panel = look(plan, "Brew")
    panel.get_by_role("button", name="Earlier").click()
    expect(panel.get_by_role("heading", level=2)).to_have_text("2 Brew")
    assert names(plan) == ["Greet", "Brew", "Grind", "Serve"]


def test_arrow_keys_change_a_duration_and_enter_saves_it_with_the_focus_kept(plan):
    block(plan, "Brew").focus()
    plan.keyboard.press("ArrowRight")
    plan.keyboard.press("Shift+ArrowRight")
    expect(plan.locator("#tape-said")).to_contain_text("3. Brew, 3:06.")
    expect(block(plan, "Brew")).to_have_attribute("aria-valuenow", "186")
    plan.keyboard.press("Enter")
    expect(lasts(plan, "Brew")).to_have_text("3:06")
    expect(block(plan, "Brew")).to_be_focused()


@pytest.mark.thorough
def test_arrow_keys_move_a_segment_and_say_its_place(plan):
    block(plan, "Brew").focus()
    plan.keyboard.press("ArrowUp")
    expect(plan.locator("#tape-said")).to_contain_text("2. Brew")
    plan.keyboard.press("Enter")
    expect(plan.locator(".plan-row .name").nth(1)).to_have_text("Brew")
    assert names(plan) == ["Greet", "Brew", "Grind", "Serve"]


@pytest.mark.thorough
def test_escape_takes_back_what_was_not_saved(plan):
    before = block(plan, "Brew").get_attribute("width")
    figure = plan.locator(".headline [data-figure^='finish:']").inner_text()
    block(plan, "Brew").focus()
    for _ in range(4):
        plan.keyboard.press("Shift+ArrowRight")
    expect(block(plan, "Brew")).to_have_attribute("aria-valuenow", "200")
    plan.keyboard.press("Escape")
    assert block(plan, "Brew").get_attribute("width") == before
    assert plan.locator(".headline [data-figure^='finish:']").inner_text() == figure
    assert lasts(plan, "Brew").inner_text() == "3:00"


def test_a_change_is_tried_before_and_after_and_taken_over(page, routine):
    page.goto(f"{routine}/plan/what-if")
    page.locator("summary", has_text="Make a segment longer").click()
    page.get_by_label("Segment", exact=True).select_option("Brew")
    page.get_by_label("By seconds").fill("-45")
    page.get_by_role("button", name="Compare").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(" in 100 → ")
    page.get_by_role("button", name="Use it").click()
    expect(lasts(page, "Brew")).to_have_text("2:15")
    page.get_by_role("button", name="Undo").click()
    expect(lasts(page, "Brew")).to_have_text("3:00")
