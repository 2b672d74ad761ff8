"""Whole runs in which something fails for long: what counts at the end is right to 50 ms."""

import json

import pytest

from server.domain.base.durations import HOUR_MS
from tests import asking
from tests.browser.stage.test_stage_clock import step_wall_clock
from tests.owner import COOKIES
from tests.thorough import few

TOLERANCE_MS = 50


def press(stage, after_s):
    """Press after a while; returns the device's even clock at the press, in ms."""
    stage.wait(after_s)
    at_ms = stage.page.evaluate("performance.now()")
    stage.press("PageDown")
    return at_ms


def assert_right(state, presses):
    """The ends of the segments are where they were pressed, and the run ends with the last."""
    elapsed = [at_ms - presses[0] for at_ms in presses[1:]]
    off = [abs(end_ms - at_ms) for end_ms, at_ms in zip(state.ends_ms, elapsed, strict=True)]
    assert max(off) <= TOLERANCE_MS
    assert abs(state.total_ms - elapsed[-1]) <= TOLERANCE_MS


@pytest.mark.thorough
def test_network_cut_for_five_minutes_of_a_run_loses_nothing(stage, server, context):
    presses = [press(stage, 1)]
    stage.wait_until_sent()
    context.set_offline(True)
    presses += [press(stage, 75) for _ in range(4)]
    assert "4 marks not yet on the server" in stage.text("closed-sync")
    context.set_offline(False)
    stage.wait_until_sent()
    assert stage.server_kinds(server.url) == ["start", "done", "done", "done", "finish"]
    assert_right(stage.server_state(server.url), presses)


@pytest.mark.parametrize("minutes_past_noon", few([0, 59]), ids=["back", "ahead"])
def test_clock_of_the_device_set_in_the_middle_of_a_run_moves_nothing(
    stage, server, minutes_past_noon
):
    presses = [press(stage, 1), press(stage, 30)]
    step_wall_clock(stage, minutes_past_noon)
    presses += [press(stage, 60), press(stage, 90), press(stage, 45)]
    stage.wait_until_sent()
    assert stage.server_kinds(server.url).count("clock_step") == 1
    assert_right(stage.server_state(server.url), presses)


@pytest.mark.thorough
def test_clock_of_the_device_set_by_an_hour_and_the_tab_closed_moves_nothing(stage, server):
    presses = [press(stage, 1), press(stage, 30)]
    stage.page.evaluate(
        f"(() => {{ const now = Date.now; Date.now = () => now() + {HOUR_MS}; }})()"
    )
    stage.page.add_init_script(f"{{ const now = Date.now; Date.now = () => now() + {HOUR_MS}; }}")
    stage.reload()
    assert stage.text("elapsed") in ("0:30", "0:31")
    # From here on the page has an even clock of another origin: only the order is compared.
    for after_s in (60, 90, 45):
        press(stage, after_s)
    stage.wait_until_sent()
    state = stage.server_state(server.url)
    assert presses[1] - presses[0] <= state.ends_ms[0] + TOLERANCE_MS
    assert 225_000 <= state.total_ms <= 229_000


def test_batches_that_arrive_doubled_and_in_another_order_count_once_and_in_order(
    stage, server, context
):
    held = []

    def hold(route):
        held.append(route.request.post_data)
        route.abort()

    context.route("**/api/runs/*/events", hold)
    presses = [press(stage, after_s) for after_s in (1, 30, 60, 90, 45)]
    bodies = [body for body in held if body]
    singles = {event["id"]: event for body in bodies for event in json.loads(body)["events"]}
    assert len(singles) == 5
    for event in [*reversed(singles.values()), *singles.values()]:
        send(server, stage.run_id, json.dumps({"events": [event]}))
    for body in (*reversed(bodies), *bodies):
        send(server, stage.run_id, body)
    context.unroute("**/api/runs/*/events")
    stage.wait_until_sent()
    assert len(stage.server_events(server.url)) == 5
    assert_right(stage.server_state(server.url), presses)


def send(server, run_id, body):
    answer = asking.post(
        f"{server.url}/api/runs/{run_id}/events",
        content=body,
        headers={"Origin": server.url},
        cookies=COOKIES,
    )
    assert answer.status_code == 200


def test_laptop_that_slept_with_its_page_in_view_counts_the_sleep(stage, server, context):
    stage.mark_two()
    stage.wait_until_sent()
    slept_ms = []

    def answer_later(route):
        known = asking.get(f"{server.url}/api/runs/{stage.run_id}/events").json()
        route.fulfill(json=known | {"now_ms": known["now_ms"] + sum(slept_ms)})

    context.route("**/api/runs/*/events?*", answer_later)
    stage.page.clock.run_for(6000)
    stage.until("!window.askedOfServer")
    slept_ms.append(stage.page.evaluate("Date.parse('2026-03-01T12:40:00') - Date.now()"))
    step_wall_clock(stage, 40)
    stage.page.clock.run_for(1100)
    stage.until("!window.askedOfServer")
    stage.wait(2)
    # Started a moment after 12:00:30, woken at 12:40.
    assert stage.text("elapsed") in ("39:31", "39:32", "39:33", "39:34", "39:35")
    stage.press("PageDown")
    stage.wait_until_sent()
    assert 2_370_000 < stage.server_state(server.url).ends_ms[2] < 2_376_000
