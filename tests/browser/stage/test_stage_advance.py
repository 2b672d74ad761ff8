"""Segments that go on by themselves: no press, the planned time, and the presenter may say no."""

import pytest

from tests.browser.stage_page import StagePage, new_run

PLANNED = (
    ("Pour", "20", False),
    ("Drain", "30", True),
    ("Wait", "15", True),
    ("Serve", "40", True),
)


@pytest.fixture
def run_id(desk):
    """A routine in which the second, the third and (in vain) the last segment go on alone."""
    routine_id = desk.routine("By itself")
    for name, likely, by_itself in PLANNED:
        fields = {"auto_advance": "yes"} if by_itself else {}
        desk.send_form(
            f"/routines/{routine_id}/segments/new", name=name, likely=likely, lane="both", **fields
        )
    return desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]


@pytest.fixture
def stage(page, base_url, run_id):
    """A run in which the first segment was ended after 22 s."""
    stage = StagePage(page, base_url, run_id).open()
    stage.press("PageDown")
    stage.wait(22)
    stage.press("PageDown")
    return stage


def splits(stage, server):
    stage.wait_until_sent()
    return stage.server_state(server.url).splits_ms


def test_segment_ends_at_its_planned_time_to_the_millisecond(stage, server):
    assert stage.text("next-word") == "By itself"
    stage.wait(29)
    assert stage.text("now-name") == "Drain"
    stage.page.clock.run_for(1300)
    assert stage.text("now-name") == "Wait"
    assert stage.text("undo-words") == "Drain 0:30.0, by itself"
    assert splits(stage, server)[1] == 30_000


@pytest.mark.thorough
def test_one_goes_on_after_another_though_the_browser_was_late(stage, server):
    stage.wait(60)
    stage.wait(0.2)
    assert stage.text("now-name") == "Serve"
    assert splits(stage, server)[1:3] == (30_000, 15_000)


@pytest.mark.thorough
def test_last_segment_is_ended_by_hand(stage):
    stage.wait(60)
    stage.wait(300)
    assert (stage.view, stage.text("next-name")) == ("running", "Finish")


@pytest.mark.thorough
def test_segment_that_a_hand_ends_earlier_is_ended_by_the_hand(stage, server):
    stage.wait(10)
    stage.press("PageDown")
    assert stage.text("now-name") == "Wait"
    assert splits(stage, server)[1] == 10_000 + 80
    assert "cause" not in stage.server_events(server.url)[-1]


def test_automatic_end_that_is_taken_back_waits_for_the_hand(stage, server):
    stage.wait(31)
    stage.press("PageUp")
    assert stage.text("now-name") == "Drain"
    assert stage.text("next-word") != "By itself"
    stage.wait(30)
    stage.reload()
    stage.wait(1)
    assert stage.text("now-name") == "Drain"
    stage.press("PageDown")
    assert stage.text("now-name") == "Wait"
    assert splits(stage, server)[1] > 60_000


@pytest.mark.thorough
def test_taking_back_a_hand_does_not_hold_up_the_plan(stage, server):
    stage.wait(10)
    stage.press("PageDown")
    stage.press("PageUp")
    assert stage.text("now-name") == "Drain"
    stage.wait(21)
    assert stage.text("now-name") == "Wait"


@pytest.mark.thorough
def test_segment_goes_on_after_a_reload_at_its_planned_time(stage, server):
    stage.wait(10)
    stage.reload()
    stage.page.clock.run_for(25_000)
    stage.catch_up()
    assert stage.text("now-name") == "Wait"
    assert splits(stage, server)[1] == pytest.approx(30_000, abs=2)


@pytest.mark.thorough
def test_page_that_was_away_over_the_end_goes_on_when_it_is_back(stage, context):
    again = stage.opened_again(context, "2026-03-01T12:05:00")
    again.wait(0.3)
    assert again.text("now-name") == "Wait"


@pytest.mark.thorough
def test_routine_without_such_segments_waits_for_every_press(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.press("PageDown")
    stage.wait(500)
    assert stage.text("now-name") == "Grind"
