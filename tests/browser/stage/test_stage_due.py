"""Descriptors due on the stage: a helper beside the presenter ticks them as heard or missed."""

import pytest

from tests.browser.axe import barred_by_axe
from tests.browser.stage.test_stage_look import (
    APART_PX,
    BOXES,
    SIDEWAYS,
    SIZES,
    SMALLEST_TARGET_PX,
    distance,
    sides,
)
from tests.browser.stage_page import StagePage
from tests.thorough import all_but, some

SAID = {"Grind": "Welcome.", "Brew": "You will find ripe pear and cinnamon.", "Serve": "Enjoy."}


@pytest.fixture
def stage(page, desk, base_url):
    routine_id = desk.routine("Evening", dict.fromkeys(SAID, "60"))
    file = desk.get(f"/routines/{routine_id}/export.json").json()
    for segment in file["routine"]["segments"]:
        desk.send_form(
            f"/routines/{routine_id}/segments/{segment['id']}",
            name=segment["name"], likely="60", said=SAID[segment["name"]],
        )  # fmt: skip
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    return StagePage(page, base_url, run_id).open()


def switch_on(stage):
    stage.part("due-switch").click()
    stage.catch_up()


def tick(stage, name, verdict):
    group = stage.page.get_by_role("group", name=name)
    group.get_by_role("button", name=verdict).click()
    stage.catch_up()


def begin(stage, segments):
    for seconds in (0, *(30 for _ in range(segments))):
        stage.wait(seconds)
        stage.press("PageDown")


def test_the_row_is_out_of_the_way_until_it_is_asked_for_and_stays_then(stage):
    begin(stage, 1)
    assert not stage.part("due").is_visible()
    switch_on(stage)
    assert stage.part("due").is_visible()
    stage.reload()
    assert stage.part("due").is_visible()


@pytest.mark.thorough
def test_descriptors_are_shown_in_the_segment_that_says_them(stage):
    begin(stage, 0)
    switch_on(stage)
    assert stage.part("due-none").is_visible()
    stage.wait(30)
    stage.press("PageDown")
    assert stage.part("due-list").locator("b").all_inner_texts() == ["ripe pear", "cinnamon"]


@pytest.mark.thorough
def test_one_that_nobody_ticked_stays_for_one_more_segment(stage):
    begin(stage, 1)
    switch_on(stage)
    tick(stage, "cinnamon", "Heard")
    stage.wait(30)
    stage.press("PageDown")
    assert stage.part("due-list").locator("li").all_inner_texts()[0].startswith("ripe pear")
    assert stage.part("due-list").locator("li").count() == 1


def test_a_tick_reaches_the_server_and_undo_still_names_the_mark_before_it(stage, server):
    begin(stage, 1)
    switch_on(stage)
    tick(stage, "pear", "Missed")
    stage.wait_until_sent()
    (claim,) = stage.server_state(server.url).claims
    assert (claim.claim, claim.verdict) == ("-:descriptor:ripe pear", "missed")
    assert claim.segment_id == stage.segment_ids[1]
    assert "Grind" in stage.text("undo-words")


@pytest.mark.thorough
def test_a_tick_is_changed_by_the_other_button_and_taken_back_by_its_own(stage, server):
    begin(stage, 1)
    switch_on(stage)
    tick(stage, "pear", "Missed")
    stage.wait(1)
    tick(stage, "pear", "Heard")
    stage.wait(1)
    heard = stage.page.get_by_role("group", name="pear").get_by_role("button", name="Heard")
    assert heard.get_attribute("aria-pressed") == "true"
    tick(stage, "pear", "Heard")
    stage.wait_until_sent()
    assert stage.server_state(server.url).claims == ()


@pytest.mark.thorough
def test_ticking_marks_no_segment(stage):
    begin(stage, 1)
    switch_on(stage)
    tick(stage, "pear", "Heard")
    assert stage.text("now-name") == "Brew"


@pytest.mark.parametrize("size", some(SIZES, all_but("phone")))
def test_the_row_bars_nobody_and_keeps_clock_and_segment_on_the_screen(stage, size):
    width, height = SIZES[size]
    stage.page.set_viewport_size({"width": width, "height": height})
    begin(stage, 1)
    switch_on(stage)
    boxes = stage.page.evaluate(BOXES)
    assert [box["words"] for box in boxes if min(sides(box)) < SMALLEST_TARGET_PX - 0.01] == []
    pairs = [(a, b) for i, a in enumerate(boxes) for b in boxes[i + 1 :]]
    assert [(a["words"], b["words"]) for a, b in pairs if distance(a, b) < APART_PX - 0.01] == []
    next_y = stage.part("next").bounding_box()["y"]
    name = stage.part("now-name").bounding_box()
    assert name["y"] + name["height"] <= next_y
    assert not stage.page.evaluate(SIDEWAYS)
    stage.page.clock.resume()  # axe waits for timers
    assert barred_by_axe(stage.page) == []
