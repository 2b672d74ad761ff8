"""The whole way, as a person goes it: from nothing to a compared run, through a server's death.

A routine is made in the browser and rehearsed for ten minutes of a driven clock; half-way the
server is killed, a mark is made without it, the tablet is reloaded when it is back, and the run is
finished and compared. Once by mouse, once by touch on a tablet, once with what a clicker sends.
"""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import address_of
from tests.browser.stage_page import NOON, StagePage

SEGMENTS = ("Greet", "Start the drip", "Brew", "Build", "Serve")
SEGMENT_S = 120
TABLET = {"viewport": {"width": 800, "height": 1280}, "has_touch": True}


class ByMouse:
    """Clicks what is to be pressed."""

    def context(self):
        return {}

    def press(self, target):
        target.click()

    def next(self, stage):
        self.press(stage.part("next"))

    def start(self, stage):
        self.press(stage.page.get_by_role("button", name="Start"))

    def ready(self, stage):
        self.press(stage.page.get_by_role("button", name=re.compile("ready", re.I)))


class ByTouch(ByMouse):
    """Taps, on stage anywhere in the large area."""

    def context(self):
        return TABLET

    def press(self, target):
        target.tap()

    def next(self, stage):
        stage.page.touchscreen.tap(400, 500)


class ByClicker(ByMouse):
    """Presses keys on stage: PageDown for the next segment."""

    def next(self, stage):
        stage.page.keyboard.press("PageDown")

    def start(self, stage):
        self.next(stage)

    def ready(self, stage):
        stage.page.keyboard.press("r")


def build(page, by):
    """A routine of five segments of two minutes with a process beside them, from nothing."""
    page.get_by_label("Name", exact=True).fill("Two cups and a story")
    by.press(page.get_by_role("button", name="Create routine"))
    by.press(page.get_by_role("link", name="Plan", exact=True))
    for number, name in enumerate(SEGMENTS):
        page.get_by_label("New segment").fill(name)
        page.get_by_label("Duration").fill("2m")
        by.press(page.get_by_role("button", name="Add segment"))
        page.locator(".plan-row").nth(number).wait_for()
    by.press(page.get_by_role("link", name="Add a parallel process"))
    form = page.get_by_role("form", name="Parallel process")
    form.get_by_label("Name").fill("Cold drip")
    form.get_by_label("Likely").fill("3:30")
    form.get_by_label("Starts after").select_option("Start the drip")
    form.get_by_label("Must be ready before").select_option("Serve")
    by.press(form.get_by_role("button", name="Save"))
    page.locator(".plan-row", has_text="Cold drip").wait_for()


def go_to_stage(page, by, address):
    by.press(page.get_by_role("link", name="Rehearse").first)
    page.clock.install(time=NOON)
    by.press(page.get_by_role("button", name="Open the stage"))
    page.wait_for_url("**/stage")
    stage = StagePage(page, address, page.url.split("/")[-2])
    stage.settle()
    page.on("dialog", lambda dialog: dialog.accept())
    page.clock.pause_at("2026-03-01T12:00:30")
    return stage


def rehearse(stage, by, server):
    """Ten minutes, the server dead from the middle of the third segment to that of the fourth."""
    by.start(stage)
    stage.catch_up()
    for number in range(len(SEGMENTS)):
        stage.wait(SEGMENT_S / 2)
        if number == 2:
            server.kill()
        if number == 3:
            assert stage.text("sync") == "1 mark not yet on the server"
            server.start()
            stage.reload()
            by.ready(stage)
        stage.wait(SEGMENT_S / 2)
        by.next(stage)
        stage.catch_up()
    stage.wait_until_sent()


@pytest.mark.parametrize(
    "by",
    [
        pytest.param(ByMouse(), marks=pytest.mark.thorough),
        ByTouch(),
        pytest.param(ByClicker(), marks=pytest.mark.thorough),
    ],
    ids=lambda by: type(by).__name__,
)
def test_routine_is_built_rehearsed_through_a_dead_server_and_compared(
    new_context, empty_server, by
):
    address = address_of(empty_server)
    page = new_context(**by.context()).new_page()
    page.goto(address)
    build(page, by)
    stage = go_to_stage(page, by, address)
    rehearse(stage, by, empty_server)

    assert stage.view == "closed"
    state = stage.server_state(empty_server.url)
    assert all(abs(split - SEGMENT_S * 1000) < 1000 for split in state.splits_ms)
    assert abs(state.total_ms - 600_000) < 2000
    assert not state.processes[0].missed

    by.press(page.get_by_role("link", name="Look at this run"))
    expect(page.get_by_text("Cold drip: started 4:00")).to_contain_text("in time")
    by.press(page.get_by_role("link", name="Runs", exact=True))
    by.press(page.get_by_role("link", name="In figures"))
    expect(page.locator("#levels-title")).to_have_text("Segments over 1 counted run")
    row = page.locator("table.splits tbody tr")
    expect(row.locator("td").nth(1)).to_have_text(re.compile("^10:0[01]$"))
    assert row.locator("td").count() == 4 + len(SEGMENTS)
