"""A segment of a recording is heard by a tap, whatever the player knows by then."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from server.domain.whole.exchange import events_json
from tests.factories import make_events

# Five seconds as a browser recorded them: the file does not say how long it lasts.
SOUND = Path(__file__).with_name("sound.webm").read_bytes()
SEGMENTS = {"Greet": "2", "Pour": "3"}
LENGTH_NEVER_TOLD = """window.addEventListener("durationchange", (event) => {
  event.stopImmediatePropagation();
}, { capture: true });"""
HEARD = """window.heard = [];
window.addEventListener("playing", ({ target }) => window.heard.push(target.currentTime), true);"""
PLAYER = "document.querySelector('[data-player]')"


@pytest.fixture
def run_page(page, desk):
    """The address of a run of two segments that was recorded."""
    routine_id = desk.routine("Evening <set>", {"Greet": "2", "Pour": "3"})
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    greet, pour = desk.ids(routine_id).values()
    events = events_json(make_events({greet: 2, pour: 5}, total_s=5))
    desk.post(f"/api/runs/{run_id}/events", json={"events": events}).raise_for_status()
    told = {"id": f"take-{run_id}", "kind": "sound", "started_ms": 0}
    told |= {"lasts_ms": 5000, "size_bytes": len(SOUND)}
    desk.post(f"/api/runs/{run_id}/recordings", json=told).raise_for_status()
    desk.put(f"/api/recordings/take-{run_id}/parts/0", content=SOUND).raise_for_status()
    page.add_init_script(HEARD)
    return f"/runs/{run_id}"


def assert_heard_from_its_start(page):
    page.wait_for_function("() => window.heard.length > 0")
    assert page.evaluate("window.heard[0]") >= 1.9
    expect(page.locator(".chapters [aria-current]")).to_contain_text("2. Pour")


def test_a_tap_before_the_player_knows_anything_is_heard(page, run_page):
    tapped, waiting = [], []
    page.route(
        "**/recordings/*",
        lambda route: route.continue_() if tapped else waiting.append(route),
    )
    page.goto(run_page, wait_until="domcontentloaded")
    page.get_by_text("Hear one segment").click()
    page.get_by_role("button", name="2. Pour").click()
    tapped.append(True)
    for route in waiting:
        route.continue_()
    assert_heard_from_its_start(page)


def test_a_tap_while_the_length_is_being_found_out_is_heard(page, run_page):
    page.add_init_script(LENGTH_NEVER_TOLD)
    page.goto(run_page)
    page.wait_for_function(f"() => {PLAYER}.currentTime > 4")
    page.get_by_text("Hear one segment").click()
    page.get_by_role("button", name="2. Pour").click()
    assert_heard_from_its_start(page)


def test_a_player_that_was_not_touched_knows_its_length_and_stands_at_the_start(page, run_page):
    page.goto(run_page)
    page.wait_for_function(f"() => {PLAYER}.duration < 10 && {PLAYER}.currentTime === 0")
    expect(page.locator(".recording")).to_contain_text("Sound, 0:05")
