"""Setting up a device: what it shows, which buttons it heeds, and whether its screen stays on."""

import pytest

from tests.browser.stage_page import StagePage, new_run
from tests.thorough import few

LOOKS = "document.documentElement.dataset"


CLIP = "video:not([data-part])"
"""What plays to keep the screen awake; the recorder's preview is a video too."""


@pytest.fixture
def panel(page, stage):
    page.get_by_role("button", name="Set up this device").click()
    return page.get_by_role("dialog", name="Set up this device")


def learn(page, action, key):
    page.get_by_role("button", name=f"Learn a button for {action}").click()
    page.keyboard.press(key)


def done(page):
    page.get_by_role("button", name="Done").click()


# The panel


def test_panel_opens_by_keyboard_and_closes_with_escape(stage, page):
    page.get_by_role("button", name="Set up this device").focus()
    page.keyboard.press("Enter")
    panel = page.get_by_role("dialog", name="Set up this device")
    assert panel.is_visible()
    page.keyboard.press("Escape")
    assert not panel.is_visible()
    assert stage.view == "waiting"


@pytest.mark.thorough
def test_pedal_starts_the_run_right_after_the_panel_was_used_by_touch(stage):
    stage.set_up("bright")
    stage.press("PageDown")
    assert stage.view == "running"


def test_panel_is_out_of_reach_while_the_clock_runs(stage, page):
    stage.press("PageDown")
    assert page.get_by_role("button", name="Set up this device").count() == 0


@pytest.mark.thorough
def test_panel_closes_when_the_run_is_started_in_another_tab(stage, panel, context, base_url):
    other = StagePage(context.new_page(), base_url, stage.run_id)
    other.page.goto(f"{base_url}/runs/{stage.run_id}/stage")
    other.settle()
    other.page.keyboard.press("PageDown")
    stage.part("elapsed").wait_for()
    assert not panel.is_visible()


def test_choices_are_kept_on_the_device_and_shown_as_chosen(stage, page, panel):
    for choice in ("bright", "large", "with a tone", "10 s"):
        panel.get_by_label(choice, exact=True).check()
    panel.get_by_label("the tape").uncheck()
    panel.get_by_label("Loudness of the music").fill("15")
    stage.reload()
    page.get_by_role("button", name="Set up this device").click()
    for choice in ("bright", "large", "with a tone", "10 s"):
        assert panel.get_by_label(choice, exact=True).is_checked()
    assert not panel.get_by_label("the tape").is_checked()
    assert panel.get_by_label("Loudness of the music").input_value() == "15"


@pytest.mark.thorough
def test_choices_hold_for_the_page_where_storage_is_full(stage, page):
    page.evaluate("() => { Storage.prototype.setItem = () => { throw new Error('full'); }; }")
    stage.set_up("bright")
    assert page.evaluate(f"{LOOKS}.ground") == "bright"


@pytest.mark.thorough
def test_nonsense_in_storage_is_as_good_as_nothing(stage, page):
    page.evaluate(
        """() => {
          localStorage["ninefifty.calls"] = "loud";
          localStorage["ninefifty.loudness"] = "loud";
          localStorage["ninefifty.buttons"] = "{";
        }"""
    )
    stage.reload()
    page.get_by_role("button", name="Set up this device").click()
    assert page.get_by_label("silent").is_checked()
    assert page.get_by_label("Loudness of calls and count-in").input_value() == "80"


# What is seen


@pytest.mark.thorough
def test_bright_ground_is_light_and_its_ink_dark(stage, page):
    stage.set_up("bright")
    ground, ink = page.evaluate(
        """() => {
          const { backgroundColor, color } = getComputedStyle(document.body);
          const light = (rgb) => Math.max(...rgb.match(/\\d+/g).map(Number));
          return [light(backgroundColor), light(color)];
        }"""
    )
    assert (ground > 240, ink < 60) == (True, True)


@pytest.mark.thorough
def test_large_print_makes_cues_half_as_large_again_and_the_name_a_quarter(stage, page):
    sizes = {}
    for print_ in ("usual", "large"):
        stage.page.evaluate("(size) => { document.documentElement.dataset.print = size; }", print_)
        sizes[print_] = [
            page.locator(part).evaluate("(node) => parseFloat(getComputedStyle(node).fontSize)")
            for part in (".cues", ".now h2")
        ]
    cues, name = (
        large / usual for usual, large in zip(sizes["usual"], sizes["large"], strict=True)
    )
    assert cues >= 1.35
    assert name >= 1.2


@pytest.mark.thorough
def test_tape_can_be_left_out_and_calls_are_shown_all_the_same(stage, page, panel):
    panel.get_by_label("the tape").uncheck()
    done(page)
    stage.press("PageDown")
    stage.wait(stage.data["rules"]["time_calls"][0]["at_s"] - 1)
    assert not stage.part("tape-whole").is_visible()
    page.clock.run_for(1500)
    assert stage.part("call").is_visible()
    assert stage.part("call").bounding_box()["height"] >= 40


def talk_run(desk):
    routine_id = desk.routine("Talk")
    for name, said in (("Open", "Good evening"), ("Tell", "Far out at sea there is a wind")):
        desk.send_form(
            f"/routines/{routine_id}/segments/new",
            name=name, likely="60", lane="both", said=said,
        )  # fmt: skip
    return desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]


def test_next_cue_comes_into_sight_ten_seconds_ahead(page, base_url, desk):
    stage = StagePage(page, base_url, talk_run(desk)).open()
    stage.press("PageDown")
    stage.wait(49)
    assert not stage.part("ahead").is_visible()
    stage.wait(1)
    assert stage.text("ahead") == "Far out at sea there is a wind"
    stage.press("c")
    assert not stage.part("said").is_visible()
    assert stage.part("ahead").is_visible()


@pytest.mark.thorough
def test_next_cue_can_be_left_out(page, base_url, desk):
    stage = StagePage(page, base_url, talk_run(desk)).open()
    page.get_by_role("button", name="Set up this device").click()
    page.get_by_label("the next cue").uncheck()
    done(page)
    stage.press("PageDown")
    stage.wait(55)
    assert not stage.part("ahead").is_visible()


# What is pressed


@pytest.mark.parametrize("key", few(["F7", "b", "MediaTrackNext", "ArrowUp"]))
def test_button_that_was_learnt_means_next_and_is_kept(stage, page, panel, key):
    learn(page, "Next", key)
    assert "now means next" in stage.text("learn-words")
    done(page)
    stage.reload()
    stage.press(key)
    assert stage.view == "running"
    stage.wait(1)
    stage.press(key)
    assert stage.text("now-name") == "Brew"
    stage.press("PageUp")
    assert stage.text("now-name") == "Grind"


@pytest.mark.thorough
def test_learnt_meaning_takes_the_place_of_the_usual_one_until_it_is_forgotten(stage, page, panel):
    learn(page, "Undo", "ArrowRight")
    done(page)
    stage.press("PageDown")
    stage.wait(1)
    stage.press("PageDown")
    stage.press("ArrowRight")
    assert stage.text("now-name") == "Grind"
    stage.page.evaluate("localStorage.removeItem('ninefifty.buttons')")
    stage.reload()
    stage.wait(1)
    stage.press("ArrowRight")
    assert stage.text("now-name") == "Brew"


@pytest.mark.thorough
def test_button_learnt_twice_means_what_it_was_given_last(stage, page, panel):
    learn(page, "Next", "F7")
    learn(page, "Undo", "F7")
    assert stage.text("learnt-next") == ""
    assert stage.text("learnt-undo") == "also F7"
    page.get_by_role("button", name="Forget learnt buttons").click()
    assert stage.text("learnt-undo") == ""


@pytest.mark.parametrize("key", few(["Escape", "Tab"]))
def test_learning_is_left_with_escape_or_tab_and_the_panel_stays(stage, page, panel, key):
    learn(page, "Next", key)
    assert stage.text("learn-words") == "Nothing was learnt."
    assert panel.is_visible()
    assert stage.text("learnt-next") == ""


@pytest.mark.thorough
def test_space_is_learnt_and_presses_no_button_of_the_panel(stage, page, panel):
    learn(page, "Undo", "Space")
    assert stage.text("learn-words") == "Space now means undo."


def test_letters_and_figures_can_be_switched_off(stage, page, panel):
    panel.get_by_label("Letters and figures work too").uncheck()
    done(page)
    assert not page.locator(".by-letter").first.is_visible()
    stage.press("PageDown")
    stage.press("i")
    assert not stage.part("incidents").is_visible()
    stage.wait(1)
    stage.press("Space")
    assert stage.text("now-name") == "Brew"


@pytest.mark.thorough
def test_letter_that_was_learnt_works_though_letters_are_off(stage, page, panel):
    panel.get_by_label("Letters and figures work too").uncheck()
    learn(page, "Next", "n")
    done(page)
    stage.press("n")
    assert stage.view == "running"


# Touch


TOUCH = """([x, y, more]) => {
  const options = { bubbles: true, isPrimary: true, button: 0, pointerType: "touch", width: 40 };
  const event = new PointerEvent("pointerdown", { clientX: x, clientY: y, ...options, ...more });
  document.elementFromPoint(x, y).dispatchEvent(event);
}"""


TOUCHES = {
    "a palm": ({"width": 90, "height": 220}, "Grind"),
    "another button of a mouse": ({"button": 2, "pointerType": "mouse"}, "Grind"),
    "a finger": ({}, "Brew"),
    "a thumb laid flat": ({"width": 110, "height": 60}, "Build"),
    "a finger beside something that rests on the glass": ({"isPrimary": False}, "Serve"),
}
"""Touches one after another -> the segment that is then under way."""


def test_any_finger_marks_and_no_palm(stage, page):
    stage.press("PageDown")
    shown = {}
    for name, (touch, _) in TOUCHES.items():
        stage.wait(10)
        page.evaluate(TOUCH, [300, 400, touch])
        stage.catch_up()
        shown[name] = stage.text("now-name")
    assert shown == {name: segment for name, (_, segment) in TOUCHES.items()}


@pytest.mark.thorough
def test_fingers_that_come_together_mark_once(stage, page):
    stage.press("PageDown")
    stage.wait(10)
    for at_x, more in ((300, {}), (500, {"isPrimary": False}), (310, {})):
        page.evaluate(TOUCH, [at_x, 400, more])
    stage.catch_up()
    assert stage.text("now-name") == "Brew"


# The screen


def test_without_a_lock_the_person_is_told_before_the_start_what_always_helps(stage):
    assert "auto-lock to Never" in stage.part("sleep-hint").inner_text()
    stage.press("PageDown")
    assert not stage.part("sleep-sign").is_visible()
    assert stage.page.locator(CLIP).count() == 0


@pytest.mark.thorough
def test_clip_that_is_tried_plays_until_the_run_is_over_and_promises_nothing(stage, page, panel):
    panel.get_by_label("Try to keep it awake").check()
    done(page)
    stage.press("PageDown")
    stage.until("document.querySelector('video:not([data-part])')?.paused === false")
    stage.catch_up()
    assert stage.part("sleep-hint").get_attribute("hidden") is None
    for _ in range(4):
        stage.wait(20)
        stage.press("PageDown")
    assert stage.view == "closed"
    assert page.locator(CLIP).count() == 0


@pytest.mark.thorough
def test_lock_that_the_browser_refuses_is_told_of(page, base_url, desk):
    page.add_init_script(
        """Object.defineProperty(navigator, "wakeLock", { value: {
          request: async () => { throw new Error("low battery"); },
        } });"""
    )
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.press("PageDown")
    assert stage.part("sleep-sign").is_visible()
