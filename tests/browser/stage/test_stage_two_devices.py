"""Two devices on one run: who holds the clock is told, taken over on purpose, and agreed on."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.frame.test_accessibility import bars
from tests.browser.stage_page import StagePage, new_run

SLOWEST_NEWS_MS = 15_000


@pytest.fixture
def run_id(desk):
    return new_run(desk)


@pytest.fixture
def open_on(new_context, base_url, run_id):
    """Opens the stage of the run on a device of its own."""

    def open_stage():
        return StagePage(new_context().new_page(), base_url, run_id).open(driven=False)

    return open_stage


@pytest.fixture
def first(open_on):
    """The device that started the run and marked its first segment."""
    stage = open_on()
    mark(stage, "Grind")
    mark(stage, "Brew")
    return stage


def mark(stage, then):
    """Press once; the run is then at the segment named."""
    stage.page.wait_for_timeout(320)
    stage.page.keyboard.press("PageDown")
    expect(stage.part("now-name")).to_have_text(then)


def take_over(stage):
    stage.page.get_by_role("button", name="Take over").click()
    stage.page.get_by_role("dialog").get_by_role("button", name="Take over").click()
    expect(stage.part("elsewhere")).to_be_hidden()


def unplug(stage):
    stage.page.route("**/api/**", lambda route: route.abort())


def plug_in(stage):
    stage.page.unroute("**/api/**")


def holder_known(stage, where):
    """Wait until the device knows who holds the clock: it asks every few seconds."""
    clock = stage.page.locator("body")
    expect(clock).to_have_attribute("data-clock", where, timeout=SLOWEST_NEWS_MS)


def sent_by(stage):
    """Wait until the device says that all its marks are on the server."""
    expect(stage.part("sync")).to_contain_text("all marks on the server", timeout=SLOWEST_NEWS_MS)


def seconds(stage):
    minutes, rest = stage.text("elapsed").split(":")
    return 60 * int(minutes) + int(rest)


def test_second_device_is_told_who_holds_the_clock_and_only_shows_the_run(first, open_on, server):
    second = open_on()
    expect(second.part("elsewhere-words")).to_have_text(
        re.compile(r"Another device holds this run’s clock, last heard from \d+ s ago\.")
    )
    second.page.keyboard.press("PageDown")
    second.part("touch").click(position={"x": 20, "y": 20})
    second.page.wait_for_timeout(300)
    assert second.text("now-name") == "Brew"
    assert len(first.server_events(server.url)) == 2
    # What marks is not there, and leaves no empty ground above the notice.
    foot, notice = (second.part(name).bounding_box() for name in ("sync", "elsewhere"))
    assert notice["y"] - (foot["y"] + foot["height"]) < 48


@pytest.mark.thorough
def test_second_device_shows_the_first_ones_time_though_its_own_clock_is_a_year_off(
    first, new_context, base_url, run_id
):
    context = new_context()
    context.add_init_script("const now = Date.now; Date.now = () => now() - 365 * 86400000;")
    second = StagePage(context.new_page(), base_url, run_id).open(driven=False)
    holder_known(second, "elsewhere")
    assert abs(seconds(second) - seconds(first)) <= 1


@pytest.mark.thorough
def test_second_device_follows_what_the_first_marks(first, open_on):
    second = open_on()
    mark(first, "Build")
    expect(second.part("now-name")).to_have_text("Build", timeout=SLOWEST_NEWS_MS)


def test_first_device_is_told_of_a_takeover_and_stops_marking(first, open_on, server):
    second = open_on()
    take_over(second)
    mark(second, "Build")
    holder_known(first, "elsewhere")
    expect(first.part("elsewhere-words")).to_contain_text(
        "Another device took this run’s clock over"
    )
    expect(first.part("now-name")).to_have_text("Build")
    first.page.keyboard.press("PageDown")
    mark(second, "Serve")
    sent_by(second)
    assert first.server_kinds(server.url) == ["start", "done", "hold", "done", "done"]


@pytest.mark.thorough
def test_a_stray_press_takes_nothing_over(first, open_on):
    second = open_on()
    second.page.get_by_role("button", name="Take over").click()
    second.page.keyboard.press("Enter")
    expect(second.part("elsewhere")).to_be_visible()
    holder_known(first, "here")


@pytest.mark.thorough
def test_marks_made_before_the_takeover_arrive_later_and_count(first, open_on, server):
    second = open_on()
    unplug(first)
    mark(first, "Build")
    take_over(second)
    assert second.text("now-name") == "Brew"
    plug_in(first)
    holder_known(first, "elsewhere")
    expect(second.part("now-name")).to_have_text("Build", timeout=SLOWEST_NEWS_MS)
    sent_by(first)
    taken_ms = second.server_events(server.url)[2]["at_ms"]
    assert second.server_state(server.url).ends_ms[1] < taken_ms


@pytest.mark.thorough
def test_marks_made_after_the_takeover_by_a_device_that_had_not_heard_do_not_count(
    first, open_on, server
):
    second = open_on()
    unplug(first)
    take_over(second)
    mark(first, "Build")
    plug_in(first)
    holder_known(first, "elsewhere")
    expect(first.part("elsewhere-words")).to_contain_text("1 mark made here since does not count")
    expect(first.part("now-name")).to_have_text("Brew")
    sent_by(first)
    assert len(first.server_events(server.url)) == 4  # kept all the same
    assert first.server_state(server.url).current == 1


@pytest.mark.thorough
def test_first_device_takes_the_clock_back_and_marks_on(first, open_on, server):
    second = open_on()
    take_over(second)
    mark(second, "Build")
    holder_known(first, "elsewhere")
    take_over(first)
    mark(first, "Serve")
    holder_known(second, "elsewhere")
    sent_by(first)
    assert first.server_state(server.url).current == 3


def test_of_two_devices_that_started_the_run_while_apart_one_holds_the_clock(open_on, server):
    one, two = open_on(), open_on()
    unplug(one)
    unplug(two)
    mark(one, "Grind")
    mark(two, "Grind")
    mark(one, "Brew")
    mark(two, "Brew")
    plug_in(one)
    sent_by(one)
    plug_in(two)
    holder_known(two, "elsewhere")
    holder_known(one, "here")
    expect(two.part("elsewhere-words")).to_contain_text("2 marks made here since do not count")
    assert one.server_kinds(server.url) == ["start", "done", "start", "done"]


@pytest.mark.thorough
def test_same_device_opens_its_run_again_in_silence(first, base_url, run_id):
    again = StagePage(first.page.context.new_page(), base_url, run_id).open(driven=False)
    holder_known(again, "here")
    mark(again, "Build")


@pytest.mark.thorough
@pytest.mark.parametrize("gone", ["localStorage.clear()", "sessionStorage.clear()"])
def test_device_that_forgot_half_of_what_it_knew_still_knows_itself(first, gone):
    first.page.evaluate(gone)
    first.page.on("dialog", lambda dialog: dialog.accept())
    first.page.reload()
    first.settle()
    holder_known(first, "here")


@pytest.mark.thorough
def test_stage_of_a_run_held_elsewhere_bars_nobody(first, open_on):
    second = open_on()
    expect(second.part("elsewhere")).to_be_visible()
    assert bars(second.page) == ""
