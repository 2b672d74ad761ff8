"""The signs of the stage are promises: they say what is so, in every view, at every moment."""

import pytest

from tests.browser.stage_page import StagePage, new_run

# What the view after the finish says in the very moment of the press that finishes.
SIGN_AT_PRESS = """() => {
  dispatchEvent(new KeyboardEvent("keydown", { key: "PageDown", code: "PageDown" }));
  return document.querySelector("[data-part=closed-sync]").textContent;
}"""


@pytest.fixture
def stage(page, base_url, desk):
    return StagePage(page, base_url, new_run(desk, {"Serve": "30"})).open()


def test_nothing_is_called_on_the_server_before_the_server_acknowledged_something(stage):
    assert stage.part("sync").text_content() == ""
    assert stage.part("closed-sync").text_content() == ""


def test_the_hidden_view_after_the_finish_never_promises_more_than_is_acknowledged(stage):
    stage.press("PageDown")
    stage.wait_until_sent()
    stage.wait(30)
    assert stage.page.evaluate(SIGN_AT_PRESS) == "1 mark not yet on the server"
    stage.wait_until_sent()
    assert stage.text("closed-sync") == "all marks on the server"


def test_the_frame_of_a_call_ends_with_the_run(stage):
    stage.press("PageDown")
    calls = stage.data["rules"]["time_calls"]
    stage.wait(min(call["at_s"] for call in calls) + 1)
    assert stage.page.locator("body").get_attribute("data-call") == "true"
    stage.press("PageDown")
    assert stage.view == "closed"
    assert stage.page.locator("body").get_attribute("data-call") == "false"
