"""What is asked at the finish, and the stage that is only tried."""

import pytest
from playwright.sync_api import expect

from tests.browser.stage_page import TAKES_QUICK_PRESSES


def finish_after(stage, seconds):
    """Start, mark every segment and finish, in so many seconds."""
    stage.press("PageDown")
    for _ in stage.segment_ids:
        stage.wait(seconds / len(stage.segment_ids))
        stage.press("PageDown")


def kept_of(stage, desk):
    return desk.get(f"/runs/{stage.run_id}").text


def test_a_run_tapped_through_is_preset_not_to_count_and_says_why(stage):
    finish_after(stage, 16)
    assert stage.page.get_by_label("Don’t count it", exact=True).is_checked()
    total = stage.text("closed-total")
    assert stage.text("asked-why").startswith(f"It took {total}, under half of the 3:45 planned")


@pytest.mark.thorough
def test_a_run_of_the_planned_length_is_preset_to_count(stage):
    finish_after(stage, 230)
    assert stage.page.get_by_label("Count it", exact=True).is_checked()
    assert stage.text("asked-why") == ""


def test_answers_given_offline_stand_after_a_reload_and_reach_the_server(stage, desk, context):
    finish_after(stage, 16)
    context.route("**/api/**", lambda route: route.abort())
    stage.page.get_by_label("Count it", exact=True).check()
    stage.page.get_by_label("Name").fill("Short on purpose")
    stage.page.get_by_label("Remark").fill("Too fast.")
    stage.page.get_by_label("Venue").fill("Back bar")
    stage.page.get_by_label("Venue").press("Tab")
    context.unroute("**/api/**")
    stage.reload()
    assert stage.page.get_by_label("Count it", exact=True).is_checked()
    assert stage.page.get_by_label("Name").input_value() == "Short on purpose"
    stage.until("document.querySelector('[data-part=closed-sync]').textContent.startsWith('all')")
    text = kept_of(stage, desk)
    assert all(said in text for said in ("Short on purpose", "Back bar", "Too fast."))
    assert "Don’t count this run" in text


def test_the_page_of_the_run_has_what_was_said_of_it_a_moment_ago(stage):
    finish_after(stage, 16)
    stage.until("document.querySelector('[data-part=closed-sync]').textContent.startsWith('all')")
    held = []
    stage.page.route("**/events", lambda route: held.append(route))
    stage.page.get_by_label("Name").fill("Last of the day")
    stage.page.get_by_role("link", name="Look at this run").click(no_wait_after=True)
    while not held:
        stage.page.wait_for_timeout(20)
    held.pop().continue_()
    stage.until("document.querySelector('[data-part=closed-sync]').textContent.startsWith('all')")
    stage.page.clock.run_for(100)
    expect(stage.page.locator("h1")).to_contain_text("Last of the day")


def test_a_try_out_leaves_no_run_and_no_mark_behind(page, base_url, desk):
    routine = desk.routine("Evening", {"Grind": "30", "Brew": "60"})
    sent = []
    page.on("request", lambda each: each.method == "POST" and sent.append(each.url))
    page.add_init_script(TAKES_QUICK_PRESSES)
    page.goto(f"{base_url}/routines/{routine}/try")
    page.wait_for_selector("[data-view=waiting]:not([hidden])")
    assert page.locator(".try-out").is_visible()
    page.keyboard.press("PageDown")
    page.wait_for_selector("[data-view=running]:not([hidden])")
    page.wait_for_timeout(350)
    page.keyboard.press("PageDown")
    page.wait_for_timeout(350)
    page.keyboard.press("PageDown")
    page.wait_for_selector("[data-view=closed]:not([hidden])")
    assert page.get_by_text("That was a try-out").is_visible()
    assert sent == []
    assert page.evaluate("Object.keys(localStorage).filter((key) => key.includes('try-out'))") == []
    assert "No run yet" in desk.get(f"/routines/{routine}/runs").text


@pytest.mark.thorough
def test_an_answer_about_a_finish_that_was_taken_back_says_nothing_of_the_next(stage):
    finish_after(stage, 16)
    stage.page.get_by_label("Don’t count it", exact=True).check()
    stage.page.get_by_role("button", name="Take back the finish").click()
    stage.catch_up()
    stage.wait(220)
    stage.press("PageDown")
    assert stage.page.get_by_label("Count it", exact=True).is_checked()
