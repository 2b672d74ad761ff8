"""A device that was never let in, in a real browser: what it meets, and what it keeps."""

import json
import re

import pytest
from playwright.sync_api import expect

from tests.browser.chromium import HOST
from tests.browser.frame.test_accessibility import bars
from tests.browser.stage_page import StagePage, new_run
from tests.owner import owner_cookies


@pytest.fixture
def stranger(new_context):
    context = new_context()
    context.clear_cookies()
    return context.new_page()


def test_a_scanned_code_lets_a_stranger_in_with_nothing_to_type(stranger, desk, base_url):
    stranger.goto(f"{base_url}/recordings")
    expect(stranger.locator("h1")).to_have_text("This device is not let in")
    assert bars(stranger) == ""
    page = desk.post("/devices/code", data={"role": "mine"}).text
    code = re.search(r'id="code">([^<]+)<', page)[1].replace(" ", "")
    stranger.goto(f"{base_url}/in#{code}")
    expect(stranger.locator("h1")).to_have_text("Routines")
    assert "#" not in stranger.url
    stranger.goto(f"{base_url}/recordings")
    expect(stranger.locator("h1")).to_have_text("Recordings")


def test_marks_on_a_device_that_was_taken_out_stay_on_it_and_are_sent_once_it_is_let_in(
    new_context, desk, base_url
):
    context = new_context()
    run_id = new_run(desk)
    stage = StagePage(context.new_page(), base_url, run_id).open(driven=False)
    context.clear_cookies()
    for _ in range(2):
        stage.page.keyboard.press("PageDown")
        stage.page.wait_for_timeout(400)
    expect(stage.part("notice")).to_contain_text("This device is not let in. What it marked stays")
    page = context.new_page()
    page.goto(base_url)
    expect(page.locator("#unsent")).to_contain_text("this device is not let in")
    context.add_cookies(owner_cookies(HOST))
    page.locator("#unsent [data-do=send]").click()
    expect(page.locator("#unsent")).to_contain_text("All marks are on the server now.")
    sent = json.loads(desk.get(f"/api/runs/{run_id}/events").text)["events"]
    assert [event["kind"] for event in sent] == ["start", "done"]
