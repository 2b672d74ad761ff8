"""Whatever a device chooses, the stage bars nobody, fits its screen and can be read."""

import json

import pytest

from tests.browser.axe import barred_by_axe
from tests.browser.stage.test_stage_look import (
    BOXES,
    SIDEWAYS,
    SMALLEST_TARGET_PX,
    cut_off,
    run_over_time,
    sides,
    to_needed_process,
)
from tests.browser.stage_page import StagePage, new_run
from tests.thorough import all_but, some

SIZES = {
    "landscape": (1280, 800),
    "portrait": (800, 1280),
    "a wall": (1920, 1080),
    "phone": (390, 844),
}
LOOKS = {
    "bright": {"ground": "bright"},
    "large": {"print": "large"},
    "bright and large": {"ground": "bright", "print": "large"},
    "bare": {"tape": "off", "cues": "off", "ahead": "off", "letters": "off"},
}
# Clipped text: a line of which only the upper or the lower part is to be seen.
CUT = """() => {
  return [...document.querySelectorAll(".now h2, .next-name, .cues")]
    .filter((node) => node.offsetParent !== null && node.textContent !== "")
    .filter(({ scrollHeight, clientHeight, scrollWidth, clientWidth }) =>
      scrollHeight > clientHeight + 1 || scrollWidth > clientWidth + 1)
    .map((node) => node.textContent);
}"""


def open_panel(stage):
    stage.page.get_by_role("button", name="Set up this device").click()


def count_in(stage):
    stage.page.evaluate("localStorage['ninefifty.count-in'] = '10'")
    stage.reload()
    stage.press("PageDown")


def call_shown(stage):
    to_needed_process(stage)
    stage.wait(stage.data["rules"]["time_calls"][0]["at_s"] - 44)


SCENES = {
    "waiting": lambda stage: None,
    "panel open": open_panel,
    "counting in": count_in,
    "process needed": to_needed_process,
    "call shown": call_shown,
    "over time": run_over_time,
}


def opened(page, base_url, desk, look, size):
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    kept = json.dumps({f"ninefifty.{name}": value for name, value in LOOKS.get(look, {}).items()})
    page.add_init_script(f"Object.assign(localStorage, {kept})")
    return StagePage(page, base_url, new_run(desk, process=True)).open()


def faults(stage):
    stage.wait(1)
    stage.page.clock.resume()  # axe waits for timers
    return barred_by_axe(stage.page) + (
        ["wider than the screen"] if stage.page.evaluate(SIDEWAYS) else []
    )


@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize("look", some(["bright", "bright and large"], all_but("bright and large")))
@pytest.mark.thorough
def test_other_ground_and_larger_print_bar_nobody(page, base_url, desk, look, scene):
    stage = opened(page, base_url, desk, look, "landscape")
    SCENES[scene](stage)
    assert faults(stage) == []


@pytest.mark.parametrize("size", some(SIZES, all_but("phone")))
@pytest.mark.parametrize(
    "scene",
    some(
        ["waiting", "panel open", "counting in", "call shown"],
        all_but("panel open", "call shown"),
    ),
)
def test_what_was_added_fits_every_screen_and_bars_nobody(page, base_url, desk, size, scene):
    stage = opened(page, base_url, desk, "usual", size)
    SCENES[scene](stage)
    boxes = [box for box in stage.page.evaluate(BOXES) if min(sides(box)) > 0]
    assert [b["words"] for b in boxes if min(sides(b)) < SMALLEST_TARGET_PX - 0.01] == []
    assert faults(stage) == []


@pytest.mark.parametrize("size", some(SIZES, all_but("phone")))
@pytest.mark.parametrize("look", some(["large", "bare"], all_but("large")))
def test_what_must_be_seen_is_on_the_screen_and_not_cut(page, base_url, desk, look, size):
    stage = opened(page, base_url, desk, look, size)
    to_needed_process(stage)
    assert cut_off(stage) == []
    assert stage.page.evaluate(CUT) == []


@pytest.mark.parametrize("size", some(SIZES, all_but("phone")))
def test_cues_and_the_next_cue_are_not_cut_in_large_print(page, base_url, desk, size):
    routine_id = desk.routine("Long words")
    words = "In the harbour nobody hurries on a Sunday, and neither does this drink, said slowly"
    for number in range(3):
        desk.send_form(
            f"/routines/{routine_id}/segments/new",
            name=f"Pear, ginger, cardamom {number}", likely="60", lane="both",
            hands=words, said=words,
        )  # fmt: skip
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.add_init_script("localStorage['ninefifty.print'] = 'large'")
    stage = StagePage(page, base_url, run_id).open()
    stage.press("PageDown")
    stage.wait(30)
    assert stage.page.evaluate(CUT) == []
    stage.wait(25)
    assert stage.part("ahead").is_visible()
    assert stage.page.evaluate(CUT) == []
