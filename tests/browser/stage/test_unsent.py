"""Marks that lie unsent on a device are told on every page there, with a way to send them."""

import json
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests import asking
from tests.browser.stage_page import StagePage, new_run
from tests.thorough import few

BATCHES = "**/api/runs/*/events*"


@pytest.fixture
def left_behind(page, context, base_url, desk):
    """A run of three marks on this device, none of which reached the server."""
    context.route(BATCHES, lambda route: route.abort())
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.mark_two()
    page.close()
    return stage


def note_on(page):
    return page.get_by_role("complementary", name="Marks on this device")


@pytest.mark.parametrize(
    "place", few(["/", "/routines/routine-demo/rehearse", "/routines/routine-demo/runs"])
)
def test_a_page_says_how_many_marks_are_not_yet_on_the_server(
    left_behind, context, base_url, place
):
    page = context.new_page()
    page.goto(base_url + place)
    expect(note_on(page)).to_contain_text(
        "3 marks of 1 run lie on this device, not yet on the server."
    )


@pytest.mark.thorough
def test_a_page_says_nothing_where_nothing_is_left(page, base_url):
    page.goto(base_url)
    page.wait_for_load_state("networkidle")
    expect(note_on(page)).to_be_hidden()


def test_send_now_sends_them_and_says_so(left_behind, context, base_url, server):
    page = context.new_page()
    page.goto(base_url)
    expect(note_on(page)).to_be_visible()
    context.unroute(BATCHES)
    page.get_by_role("button", name="Send now").click()
    expect(note_on(page)).to_contain_text("All marks are on the server now.")
    sent = asking.get(f"{server.url}/api/runs/{left_behind.run_id}/events").json()["events"]
    assert [event["kind"] for event in sent] == ["start", "done", "done"]


def test_marks_of_a_deleted_run_say_why_they_are_not_sent_and_can_be_saved(
    left_behind, context, base_url, desk, tmp_path
):
    desk.send_form(f"/runs/{left_behind.run_id}/delete")
    context.unroute(BATCHES)
    page = context.new_page()
    page.goto(base_url)
    expect(note_on(page)).to_contain_text("(it was deleted there)")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save them as a file").click()
    saved = json.loads(Path(shutil.copy(download.value.path(), tmp_path / "run.json")).read_text())
    assert saved["run_id"] == left_behind.run_id
    assert [event["kind"] for event in saved["events"]] == ["start", "done", "done"]


@pytest.mark.thorough
def test_a_mark_the_server_refuses_holds_up_no_other_of_a_run_left_behind(
    left_behind, context, base_url
):
    passed = []

    def refuse_second(route):
        body = json.loads(route.request.post_data or '{"events": []}')
        if any(event["seq"] == 1 for event in body["events"]):
            route.fulfill(
                status=422, json={"error": {"code": "invalid", "message": "", "faults": []}}
            )
        else:
            passed.extend(event["seq"] for event in body["events"])
            route.continue_()

    context.unroute(BATCHES)
    context.route(BATCHES, refuse_second)
    page = context.new_page()
    page.goto(base_url)
    expect(note_on(page)).to_contain_text("1 mark of 1 run lies on this device")
    assert passed == [0, 2]
