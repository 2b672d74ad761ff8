"""A run on stage, as the person before the tablet lives it. The clock is driven by the test."""

import re

import pytest

from tests.browser.stage_page import CHILL, FALLBACK, StagePage, new_run
from tests.thorough import few

NEXT_KEYS = ("Space", "Enter", "ArrowRight", "PageDown")
UNDO_KEYS = ("ArrowLeft", "PageUp")
ONE_MARK_MS = 40  # what the clock moves while a press is shown


@pytest.fixture
def stage(page, base_url, desk):
    return StagePage(page, base_url, new_run(desk, process=True)).open()


def splits(stage, base_url, server):
    stage.wait_until_sent()
    return stage.server_state(server.url).splits_ms


def test_whole_run_by_page_down_arrives_with_the_times_of_the_presses(stage, base_url, server):
    stage.press("PageDown")
    for seconds in (30, 65, 80, 50):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.wait_until_sent()
    state = stage.server_state(server.url)
    assert stage.view == "closed"
    # Each press is followed by 40 ms for the screen, each wait by as many.
    assert [round(split - 80) for split in state.splits_ms] == [30_000, 65_000, 80_000, 50_000]
    assert state.status == "finished"
    assert stage.text("closed-total") == "3:45.3"


@pytest.mark.thorough
def test_whole_run_by_touch_anywhere_in_the_big_area(new_context, base_url, desk, server):
    page = new_context(has_touch=True).new_page()
    page.set_viewport_size({"width": 800, "height": 1280})
    stage = StagePage(page, base_url, new_run(desk)).open()
    page.get_by_role("button", name="Start").tap()
    stage.catch_up()
    for x, y in ((400, 150), (60, 700), (740, 500), (400, 1100)):
        stage.wait(20)
        page.touchscreen.tap(x, y)
        stage.catch_up()
    stage.wait_until_sent()
    assert stage.view == "closed"
    assert [round(ms - 80) for ms in stage.server_state(server.url).splits_ms] == [20_000] * 4


# Of each key a module test tells what it means; PageDown goes through a whole run here.
@pytest.mark.parametrize("key", few(NEXT_KEYS, kept=0))
def test_each_key_of_a_clicker_starts_the_run_and_marks_a_segment(stage, key):
    stage.press(key)
    assert stage.text("now-name") == "Grind"
    stage.wait(12)
    stage.press(key)
    assert stage.text("now-name") == "Brew"
    assert stage.text("undo-words") == "Grind 0:12.1"


@pytest.mark.parametrize("key", few(UNDO_KEYS))
def test_undo_takes_back_the_last_mark(stage, key):
    for seconds in (0, 30, 30):
        stage.wait(seconds)
        stage.press("PageDown")
    assert stage.text("now-name") == "Build"
    stage.press(key)
    assert stage.text("now-name") == "Brew"
    assert stage.text("undo-words").startswith("Grind")


@pytest.mark.thorough
def test_with_nothing_marked_there_is_nothing_to_undo(stage):
    stage.press("PageDown")
    assert stage.part("undo").is_disabled()
    stage.press("PageUp")
    assert stage.text("now-name") == "Grind"


def test_finish_can_be_taken_back_and_the_time_went_on(stage):
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.wait(20)
    stage.page.get_by_role("button", name="Take back the finish").click()
    stage.catch_up()
    assert (stage.view, stage.text("now-name")) == ("running", "Serve")
    assert stage.text("elapsed") == "4:05"


@pytest.mark.thorough
def test_pedal_takes_back_a_finish_only_just_after_it(stage):
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.wait(5)
    stage.press("PageUp")
    assert stage.view == "running"
    stage.press("PageDown")
    stage.wait(11)
    stage.press("PageUp")
    assert stage.view == "closed"


def test_press_that_comes_twice_marks_once(stage):
    stage.press("PageDown")
    stage.wait(10)
    stage.page.keyboard.press("PageDown")
    stage.page.clock.run_for(150)
    stage.page.keyboard.press("Enter")
    stage.catch_up()
    assert stage.text("now-name") == "Brew"


@pytest.mark.thorough
def test_held_key_marks_once(stage):
    stage.press("PageDown")
    stage.wait(10)
    for _ in range(4):
        stage.page.keyboard.down("PageDown")
        stage.page.clock.run_for(400)
    stage.catch_up()
    assert stage.text("now-name") == "Brew"


@pytest.mark.thorough
def test_double_tap_marks_once(new_context, base_url, desk):
    page = new_context(has_touch=True).new_page()
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.press("PageDown")
    stage.wait(10)
    page.touchscreen.tap(400, 400)
    page.clock.run_for(120)
    page.touchscreen.tap(405, 402)
    stage.catch_up()
    assert stage.text("now-name") == "Brew"


@pytest.mark.thorough
def test_pedal_marks_the_next_segment_after_another_button_was_touched(stage):
    stage.press("PageDown")
    stage.more("Hide cues")
    stage.wait(10)
    stage.press("Enter")
    assert stage.text("now-name") == "Brew"
    assert stage.text("cues-switch") == "Show cues"


@pytest.mark.thorough
def test_button_reached_with_tab_is_pressed_by_its_own_keys(stage):
    stage.press("PageDown")
    stage.wait(10)
    stage.press("PageDown")
    stage.part("undo").focus()
    stage.page.keyboard.press("Tab")
    stage.page.keyboard.press("Shift+Tab")
    stage.press("Enter")
    assert stage.text("now-name") == "Grind"


@pytest.mark.thorough
def test_elapsed_and_remaining_add_up_and_the_segment_counts_down(stage):
    stage.press("PageDown")
    stage.wait(12.3)
    assert (stage.text("elapsed"), stage.text("slot-digits")) == ("0:12", "9:48")
    assert stage.part("now-left").inner_text() == "0:18 left"
    stage.wait(20)
    assert stage.part("now-left").inner_text() == "0:02 over"


@pytest.mark.thorough
def test_early_and_late_are_said_in_words(stage):
    stage.press("PageDown")
    stage.wait(20)
    stage.press("PageDown")
    assert (stage.text("pace-digits"), stage.text("pace-word")) == ("10 s", "early")
    stage.wait(77)
    assert (stage.text("pace-digits"), stage.text("pace-word")) == ("7 s", "late")


@pytest.mark.thorough
def test_over_time_is_said_in_words(stage):
    stage.press("PageDown")
    stage.wait(607.5)
    assert stage.part("slot-figure").inner_text().split("\n")[-1] == "0:07 over"
    assert stage.page.locator("body").get_attribute("data-phase") == "over"


@pytest.mark.thorough
def test_process_counts_down_until_it_is_marked_ready(stage, server):
    row = stage.page.get_by_role("listitem").filter(has_text=CHILL)
    stage.press("PageDown")
    assert "starts when this segment ends" in row.inner_text()
    stage.wait(30)
    stage.press("PageDown")
    assert "ready in 1:15" in row.inner_text()
    # Planned for 2:30; it is expected a little later, because things rather take longer.
    assert re.search(r"2:3\d\s+until needed", row.inner_text())
    stage.wait(75)
    assert "likely ready" in row.inner_text()
    stage.press("r")
    assert "ready at 1:45" in row.inner_text()
    stage.wait_until_sent()
    assert stage.server_state(server.url).processes[0].missed is False


def test_process_that_is_needed_before_it_is_ready_shows_its_fallback(stage, server):
    row = stage.page.get_by_role("listitem").filter(has_text=CHILL)
    for seconds in (0, 30, 10):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.wait(5)
    stage.press("PageDown")
    stage.until_shown(row, "needed now", FALLBACK)
    row.get_by_role("button").click()
    stage.catch_up()
    stage.wait_until_sent()
    assert stage.server_state(server.url).processes[0].missed is True


def test_incident_is_two_touches(stage, server):
    stage.press("PageDown")
    stage.wait(12)
    stage.page.get_by_role("button", name="Incident").click()
    stage.page.get_by_role("button", name="Forgot words").click()
    stage.catch_up()
    assert not stage.part("incidents").is_visible()
    stage.wait_until_sent()
    (incident,) = stage.server_state(server.url).incidents
    assert (incident.what, incident.segment_id) == ("forgot_words", stage.segment_ids[0])


def test_incident_by_keys_and_undo_takes_it_back(stage):
    stage.press("PageDown")
    stage.press("i")
    stage.press("2")
    assert stage.text("undo-words") == "Equipment"
    stage.press("PageUp")
    assert stage.text("undo-words") == ""


@pytest.mark.thorough
def test_choice_of_incidents_closes_by_itself_by_escape_and_by_a_touch_elsewhere(stage):
    stage.press("PageDown")
    choice = stage.part("incidents")
    stage.press("i")
    assert choice.is_visible()
    stage.wait(8.1)
    assert not choice.is_visible()
    stage.press("i")
    stage.press("Escape")
    assert not choice.is_visible()
    stage.wait(1)
    stage.press("i")
    stage.page.mouse.click(300, 60)
    assert not choice.is_visible()


@pytest.mark.thorough
def test_pedal_still_marks_while_the_choice_of_incidents_is_open(stage):
    stage.press("PageDown")
    stage.wait(10)
    stage.page.get_by_role("button", name="Incident").click()
    stage.press("PageDown")
    assert stage.text("now-name") == "Brew"


def test_finish_with_segments_unmarked_asks_and_counts_from_the_press(stage, server):
    stage.press("PageDown")
    stage.wait(30)
    stage.more("Finish")
    question = stage.page.get_by_role("dialog")
    assert "4 segments are not marked" in question.inner_text()
    stage.wait(6)
    question.get_by_role("button", name="Finish").click()
    stage.catch_up()
    stage.wait_until_sent()
    assert stage.server_state(server.url).total_ms == 30_000 + 2 * ONE_MARK_MS


def test_stray_press_of_a_pedal_answers_no_question_with_yes(stage):
    stage.press("PageDown")
    stage.more("Stop")
    stage.press("PageDown")
    stage.press("Enter")
    assert not stage.page.get_by_role("dialog").is_visible()
    assert (stage.view, stage.text("now-name")) == ("running", "Grind")


@pytest.mark.thorough
def test_abandoned_run_keeps_its_marks(stage, server):
    for seconds in (0, 30):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.more("Stop")
    stage.page.get_by_role("dialog").get_by_role("button", name="Stop").click()
    stage.catch_up()
    assert stage.text("closed-heading") == "Stopped"
    stage.wait_until_sent()
    state = stage.server_state(server.url)
    assert (state.status, state.ends_ms[0]) == ("abandoned", 30_000 + 2 * ONE_MARK_MS)


@pytest.mark.thorough
def test_summary_leads_to_the_run_and_to_the_next_rehearsal(stage):
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    rows = stage.page.locator("[data-part=closed-rows] tr")
    cells = ["Brew", "1:00", "1:00.1", "0.1 s over", "Again from here"]
    assert rows.nth(1).inner_text().split("\t") == cells
    stage.wait_until_sent()
    stage.page.get_by_role("link", name="Look at this run").click()
    assert stage.page.url.endswith(f"/runs/{stage.run_id}")


@pytest.mark.thorough
def test_first_words_are_shown_as_a_cue_and_can_be_hidden(new_context, base_url, desk):
    routine_id = desk.routine("Talk")
    words = " ".join(f"word{n}" for n in range(30))
    desk.send_form(
        f"/routines/{routine_id}/segments/new",
        name="Open", likely="60", lane="both", hands="Pour", said=words,
    )  # fmt: skip
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    stage = StagePage(new_context().new_page(), base_url, run_id).open()
    stage.press("PageDown")
    assert stage.text("said") == "word0 " + " ".join(f"word{n}" for n in range(1, 10)) + " …"
    stage.press("c")
    assert not stage.part("said").is_visible()


@pytest.mark.thorough
def test_text_with_markup_in_it_shows_as_text(stage):
    assert stage.page.locator(".waiting-name").inner_text() == "Evening <set>"
    assert stage.data["routine_name"] == "Evening <set>"


def test_leaving_while_the_run_goes_on_has_to_be_confirmed(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk)).open()
    asked = []
    page.on("dialog", lambda dialog: asked.append(dialog.type))
    page.reload()
    assert asked == []
    stage.settle()
    stage.press("PageDown")
    page.reload()
    assert asked == ["beforeunload"]


@pytest.mark.thorough
def test_no_link_leads_away_during_a_run(stage):
    stage.press("PageDown")
    assert stage.page.get_by_role("link").count() == 0


def test_every_press_is_announced_for_those_who_do_not_look(stage):
    stage.press("PageDown")
    spoken = stage.page.locator("[data-part=spoken]")
    assert spoken.text_content() == "Grind, 1 of 4"
    stage.wait(30)
    stage.press("PageDown")
    assert spoken.text_content() == "Brew, 2 of 4"


@pytest.mark.thorough
def test_hundred_segments_and_none_can_both_be_rehearsed(page, base_url, desk):
    names = {f"Step {n}": "6" for n in range(100)}
    stage = StagePage(page, base_url, new_run(desk, names)).open()
    stage.press("PageDown")
    stage.wait(6)
    stage.press("PageDown")
    assert re.match("2 of 100", stage.text("place"))
