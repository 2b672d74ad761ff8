"""The clock of a run through reloads, closed tabs, sleep, and clocks that are set."""

import pytest

HIDE = """(hidden) => {
  Object.defineProperty(document, "hidden", { value: hidden, configurable: true });
  document.dispatchEvent(new Event("visibilitychange"));
}"""


def step_wall_clock(stage, minutes_past_noon):
    """Move the wall clock and leave the even clock alone: a sleep, or a clock that is set."""
    stage.page.clock.set_system_time(f"2026-03-01T12:{minutes_past_noon:02d}:00")


def test_reload_goes_on_where_the_run_was_with_the_true_elapsed_time(stage, server):
    stage.mark_two()
    stage.wait(10)
    stage.reload()
    assert (stage.view, stage.text("now-name")) == ("running", "Build")
    assert stage.text("elapsed") == "1:40"
    stage.wait(60)
    assert stage.text("elapsed") == "2:40"
    stage.press("PageDown")
    stage.wait_until_sent()
    total_ms = stage.server_state(server.url).ends_ms[2]
    assert abs(total_ms - 160_000) < 1000


@pytest.mark.thorough
def test_closed_tab_opened_again_counts_the_time_it_was_closed(stage, context):
    stage.mark_two()
    again = stage.opened_again(context, "2026-03-01T12:10:00")
    again.wait(0.1)
    assert again.text("now-name") == "Build"
    minutes, seconds = again.text("elapsed").split(":")
    assert minutes == "9"
    assert 29 <= int(seconds) <= 33


@pytest.mark.thorough
def test_sleep_of_the_device_counts_as_time_that_passed(stage, server):
    stage.mark_two()
    stage.page.evaluate(HIDE, True)
    step_wall_clock(stage, 5)
    stage.page.evaluate(HIDE, False)
    stage.catch_up()
    # Started a moment after 12:00:30, woken at 12:05.
    assert stage.text("elapsed") == "4:29"
    stage.wait(1)
    stage.press("PageDown")
    stage.wait_until_sent()
    assert 270_000 < stage.server_state(server.url).ends_ms[2] < 272_000


def test_mark_made_the_moment_the_device_wakes_counts_the_sleep(stage, server):
    stage.mark_two()
    stage.wait(1)
    stage.page.evaluate(HIDE, True)
    step_wall_clock(stage, 5)
    stage.press("PageDown")
    stage.wait_until_sent()
    assert 269_000 < stage.server_state(server.url).ends_ms[2] < 271_000


@pytest.mark.thorough
def test_clock_that_is_set_during_a_run_moves_no_mark(stage, server):
    stage.mark_two()
    step_wall_clock(stage, 50)
    stage.page.clock.run_for(1100)
    stage.catch_up()
    assert stage.text("elapsed") == "1:31"
    stage.reload()
    assert stage.text("elapsed") in ("1:31", "1:32")
    stage.wait_until_sent()
    causes = [event.get("cause") for event in stage.server_events(server.url)]
    assert causes.count("set") == 1


def test_run_left_open_for_hours_asks_whether_it_was_forgotten(stage, context, base_url):
    stage.mark_two()
    stage.page.close()
    page = context.new_page()
    page.clock.install(time="2026-03-01T20:00:00")
    page.goto(f"{base_url}/runs/{stage.run_id}/stage")
    assert "never finished" in page.get_by_role("dialog").inner_text()
    page.get_by_role("dialog").get_by_role("button", name="Stop").click()
    page.get_by_text("Stopped").wait_for()
