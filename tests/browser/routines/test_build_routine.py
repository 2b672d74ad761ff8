"""From an empty list to a planned routine, in the browser and without a mouse where that counts."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.plan_page import edit, line, look, names
from tests.browser.stage_page import NOON, StagePage
from tests.thorough import few

MOST_TABS = 60


def tab_to(page, target):
    """Go on with Tab until the target has the focus, as somebody without a mouse does."""
    for _ in range(MOST_TABS):
        if target.evaluate("one => one === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError("Tab does not lead there")


def rows(page):
    """The segments on the plan page: name -> likely duration."""
    times = page.locator("[data-figure^='segment-lasts:']").all_inner_texts()
    return dict(zip(names(page), times, strict=True))


def planned(page):
    """What the line beneath the headline says of the plan."""
    return page.locator(".headline .about").inner_text()


@pytest.fixture
def plan(page, desk):
    """The plan page of a routine that has nothing yet."""
    page.goto(f"/routines/{desk.routine('Two cups')}/plan")
    return page


def add_segments(page, *segments):
    """Type segments one after the other into the form at the foot of the list."""
    tab_to(page, page.get_by_label("New segment"))
    for number, (name, duration) in enumerate(segments, 1):
        page.keyboard.type(name)
        page.keyboard.press("Tab")
        page.keyboard.type(duration)
        page.keyboard.press("Enter")
        page.locator(".plan-row").nth(number - 1).wait_for()


def press(page, target):
    """Come to something by Tab, and press it by Enter."""
    tab_to(page, target)
    page.keyboard.press("Enter")


def stage_of(page, address):
    """The stage of a run that was just opened, on a driven clock."""
    page.wait_for_url("**/stage")
    stage = StagePage(page, address, page.url.split("/")[-2])
    stage.settle()
    page.clock.pause_at("2026-03-01T12:00:30")
    return stage


def test_routine_is_made_rehearsed_and_looked_at_by_keyboard_alone(page, empty_server):
    address = f"http://tablet.lan:{empty_server.port}"
    page.goto(address)
    tab_to(page, page.get_by_label("Name", exact=True))
    page.keyboard.type("Two cups and a story")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Two steps to the clock").wait_for()
    press(page, page.get_by_role("link", name="Plan", exact=True))
    page.get_by_role("heading", name="Nothing is planned yet").wait_for()
    add_segments(page, ("Greet", "0:25"), ("Pour", "75"), ("Serve", "1m15"))
    assert rows(page) == {"Greet": "0:25", "Pour": "1:15", "Serve": "1:15"}
    assert planned(page).startswith("planned 2:55")
    press(page, page.get_by_role("link", name="Rehearse", exact=True))
    page.clock.install(time=NOON)
    press(page, page.get_by_role("button", name="Open the stage"))
    stage = stage_of(page, address)
    for seconds in (0, 25, 75, 75):
        stage.wait(seconds)
        stage.press("PageDown")
    press(page, page.get_by_role("link", name="Look at this run"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("2:55")


@pytest.mark.thorough
def test_next_segment_can_be_typed_at_once(plan):
    add_segments(plan, ("Greet", "25"))
    assert plan.get_by_label("New segment").evaluate("one => one === document.activeElement")
    assert plan.get_by_label("New segment").input_value() == ""


@pytest.mark.parametrize("typed", few(["1:15", "75", "1m15", "1m15s", "75 s", "1m 15s"]))
def test_duration_is_understood_as_it_is_typed(plan, typed):
    add_segments(plan, ("Pour", typed))
    assert rows(plan) == {"Pour": "1:15"}


@pytest.mark.thorough
def test_plan_is_set_against_slot_and_target(plan):
    add_segments(plan, ("Talk", "9:00"), ("Pour", "1:30"))
    assert planned(plan).startswith("planned 10:30, 0:30 too long")
    assert plan.locator("svg.tape .overrun").is_visible()


@pytest.mark.thorough
def test_tape_draws_each_lane_to_scale(plan):
    add_segments(plan, ("Talk", "2:00"), ("Pour", "4:00"))
    first, second = (plan.get_by_role("slider").nth(n).bounding_box() for n in (0, 1))
    assert second["width"] / first["width"] == pytest.approx(2, rel=0.02)
    edit(plan, "Talk").get_by_label("Lane").select_option("Voice only")
    plan.get_by_role("button", name="Save").click()
    line(plan, "Talk").get_by_text("voice only").wait_for()
    tracks = plan.locator(".block[data-segment] .body")
    assert [tracks.nth(n).get_attribute("height") for n in (0, 1)] == ["34", "70"]


@pytest.mark.thorough
def test_process_hangs_between_two_segments_and_tells_when_it_is_late(plan):
    add_segments(plan, ("Start the drip", "1:00"), ("Talk", "2:00"), ("Serve", "1:00"))
    plan.get_by_role("link", name="Add a parallel process").click()
    form = plan.get_by_role("form", name="Parallel process")
    form.get_by_label("Name").fill("Cold drip")
    form.get_by_label("Likely").fill("1:50")
    form.get_by_label("Highest").fill("2:20")
    form.get_by_label("Starts after").select_option("Start the drip")
    form.get_by_label("Must be ready before").select_option("Serve")
    form.get_by_label("Plan B, if it is not ready").fill("Pour from the reserve.")
    form.get_by_role("button", name="Save").click()
    told = look(plan, "Cold drip").inner_text()
    assert "starts after Start the drip, must be ready before Serve (planned 3:00)" in told
    assert re.search(r"likely ready 0:10 before.* slowest it is 0:20 late", told)
    assert plan.locator(".under .busy").count() == 1


@pytest.mark.thorough
def test_drink_and_its_recipe_are_typed_without_a_mouse(page, desk):
    page.goto(f"/routines/{desk.routine('Two cups')}/drinks")
    tab_to(page, page.get_by_role("link", name="Add a drink"))
    page.keyboard.press("Enter")
    page.get_by_label("Name").wait_for()
    page.keyboard.type("Quiet Harbour")
    tab_to(page, page.get_by_label("On the card"))
    page.keyboard.type("pear, smoke")
    page.keyboard.press("Enter")
    page.locator(".parts-list").wait_for()
    tab_to(page, page.get_by_role("link", name="Add a part"))
    page.keyboard.press("Enter")
    amount = page.get_by_label("Amount")
    expect(amount).to_be_focused()
    for number, (much, what) in enumerate([("45 ml", "Pear brandy"), ("2 dashes", "Smoke")]):
        page.keyboard.type(much)
        page.keyboard.press("Tab")
        page.keyboard.type(what)
        page.keyboard.press("Enter")
        page.locator(".part-name").nth(number).wait_for()
    assert page.locator(".part-name").all_inner_texts() == ["Pear brandy", "Smoke"]
    assert page.locator(".part-row b").all_inner_texts() == ["45 ml", "2 dashes"]
    expect(page.locator(".on-card p")).to_contain_text("pear, smoke.")
    assert amount.evaluate("one => one === document.activeElement")


@pytest.mark.thorough
def test_segment_names_its_drink_and_counts_its_words(page, desk):
    routine_id = desk.routine("Two cups", {"Pour": "1:00"})
    desk.send_form(f"/routines/{routine_id}/drinks/new", name="Quiet Harbour", serves="2")
    page.goto(f"/routines/{routine_id}/plan")
    form = edit(page, "Pour")
    form.get_by_label("Drink").select_option("Quiet Harbour")
    form.get_by_label("What is said").fill("Here is the quiet harbour.")
    page.get_by_role("button", name="Save").click()
    form.wait_for(state="detached")
    expect(look(page, "Pour")).to_contain_text("Quiet Harbour, hands and voice, at 0:00; 5 words")


@pytest.mark.thorough
def test_new_routine_can_be_measured_against_rules_of_ones_own(page, desk):
    page.goto("/rules/new")
    page.get_by_label("Name").fill("Seven minutes")
    page.get_by_label("Slot length").fill("7m")
    page.get_by_label("Target finish").fill("6:50")
    page.get_by_role("button", name="Save").click()
    page.goto("/")
    page.get_by_label("Name", exact=True).fill("Short one")
    page.get_by_label("Rule sheet").select_option("Seven minutes, slot 7:00")
    page.get_by_role("button", name="Create routine").click()
    about = page.locator(".menu .about")
    expect(about).to_contain_text("Seven minutes: slot 7:00, target 6:50")
    expect(page.get_by_role("heading", level=1)).to_have_text("Two steps to the clock")
