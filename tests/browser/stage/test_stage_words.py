"""How much of the talk the stage shows, and which time has the large digits: the device chooses."""

import pytest

from tests.browser.stage_page import StagePage

WORDS = " ".join(f"word{number}" for number in range(120))
# Where the words begin and the window ends, in lines: whole numbers cut no line in two.
LINES = """() => {
  const words = document.querySelector("[data-part=said]");
  const seen = words.parentElement.getBoundingClientRect();
  const line = parseFloat(getComputedStyle(words).lineHeight);
  return { above: (seen.top - words.getBoundingClientRect().top) / line, seen: seen.height / line };
}"""
CUES_HOLD = """() => {
  const cues = document.querySelector("[data-part=cues]");
  return cues.scrollHeight <= cues.clientHeight + 1;
}"""


@pytest.fixture(scope="module")
def routine_id(desk):
    made = desk.routine("Long talk")
    for name in ("Open", "Close"):
        desk.send_form(
            f"/routines/{made}/segments/new",
            name=name, likely="60", lane="both", hands="Pour the water", said=WORDS,
        )  # fmt: skip
    return made


@pytest.fixture
def stage(page, base_url, desk, routine_id):
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    return StagePage(page, base_url, run_id).open()


@pytest.mark.parametrize("size", [(1280, 800)])
def test_full_words_move_on_at_the_pace_of_the_segment_by_whole_lines(stage, size):
    stage.page.set_viewport_size({"width": size[0], "height": size[1]})
    stage.set_up("full words")
    stage.press("PageDown")
    above = []
    for _ in range(4):
        stage.wait(15)
        found = stage.page.evaluate(LINES)
        assert found["seen"] >= 2
        assert [round(each, 1) % 1 for each in found.values()] == [0, 0]
        above.append(round(found["above"]))
    assert 0 < above[0] < above[1] < above[2] <= above[3]
    assert stage.page.evaluate(CUES_HOLD)


def test_what_the_hands_do_stands_in_the_lines_it_was_written_in(page, base_url, desk):
    routine = desk.routine("Moves")
    moves = "Lift the lid\nPour to the line"
    desk.send_form(
        f"/routines/{routine}/segments/new", name="Open", likely="60", lane="both", hands=moves
    )
    segment = desk.ids(routine)["Open"]
    page.goto(f"{base_url}/routines/{routine}/plan?open=segment-{segment}")
    assert page.locator(".plan-desk .hands").inner_text() == moves
    run_id = desk.send_form(f"/routines/{routine}/rehearse").split("/")[2]
    stage = StagePage(page, base_url, run_id).open()
    stage.press("PageDown")
    assert stage.page.locator("[data-field=hands]").inner_text() == moves


@pytest.mark.thorough
def test_no_words_are_shown_where_the_device_wants_none(stage):
    stage.page.get_by_role("button", name="Set up this device").click()
    stage.page.get_by_role("group", name="Words of the talk").get_by_label("none").check()
    stage.page.get_by_role("button", name="Done").click()
    stage.press("PageDown")
    assert not stage.part("said").is_visible()
    assert stage.page.locator("[data-field=hands]").is_visible()


def test_what_finds_no_room_is_left_out_by_whole_words(page, base_url, desk, routine_id):
    page.set_viewport_size({"width": 320, "height": 480})
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    stage = StagePage(page, base_url, run_id).open()
    stage.press("PageDown")
    shown = stage.text("said").removesuffix("…").split()
    assert shown == WORDS.split()[: len(shown)]
    assert stage.page.evaluate(CUES_HOLD)


@pytest.mark.thorough
def test_large_digits_are_the_time_left_where_the_device_wants_them(stage):
    stage.set_up("time left")
    stage.press("PageDown")
    stage.wait(60)
    assert stage.text("elapsed") == "9:00"
    assert stage.text("elapsed-is") == "left"
    assert stage.part("slot-figure").inner_text().split() == ["Elapsed", "1:00"]
