"""At one glance: how large what one reads on the stage is, in minutes of arc.

A letter of height h seen from a distance d covers 2 atan(h / 2d). Comfortable reading needs 16 to
22 minutes (ISO 9241-303, from memory), the eye tells letters apart from 5 on. Height is that of the
digit "8", or of the capital "H" where words are read, as the browser draws it in the type of the
place. A tablet stands 1.5 m away; a phone lies on the counter, at arm's length (0.6 m).
"""

from math import atan, degrees

import pytest

from tests.browser.chromium import HOST, SLOWEST_ACTION_MS
from tests.browser.stage_page import StagePage
from tests.owner import as_owner

# CSS px, mm of the longer edge, and mm from the eye: a ten-inch tablet of 16:10 (217 mm x 136 mm)
# lying and standing, one of 4:3 (197 mm x 148 mm), a phone (116 mm x 65 mm).
SIZES = {
    "tablet": (1280, 800, 217, 1500),
    "squarer tablet": (1024, 768, 197, 1500),
    "upright tablet": (800, 1280, 217, 1500),
    "phone": (360, 640, 116, 600),
}
CLOCK, ACTED_ON, READ, CUES = 50, 20, 12, 10
DIGITS = {
    "[data-part=elapsed]": CLOCK,
    "[data-part=now-digits]": ACTED_ON,
    "[data-part=pace-digits]": ACTED_ON,
    ".process-figure b": ACTED_ON,
    "[data-part=slot-digits]": READ,
    "[data-part=finish]": READ,
}
WORDS = {
    "[data-part=next-name]": ACTED_ON,
    "[data-part=pace-word]": ACTED_ON,
    "[data-field=hands]": CUES,
    "[data-part=said]": CUES,
}
HEIGHT = """([name, letter]) => {
  const style = getComputedStyle(document.querySelector(name));
  const context = document.createElement("canvas").getContext("2d");
  context.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  const measured = context.measureText(letter);
  return measured.actualBoundingBoxAscent + measured.actualBoundingBoxDescent;
}"""


@pytest.fixture(scope="module")
def running(browser, base_url, desk):
    """The demo a while after its middle: four seconds late, and a process that is soon needed."""
    context = browser.new_context(**as_owner(HOST))
    context.set_default_timeout(SLOWEST_ACTION_MS)
    run_id = desk.send_form("/routines/routine-demo/rehearse").split("/")[2]
    stage = StagePage(context.new_page(), base_url, run_id).open()
    stage.press("PageDown")
    for segment in stage.data["segments"][:11]:
        stage.page.clock.fast_forward(round(1000 * segment["likely_s"]))
        stage.press("PageDown")
    stage.wait(14)
    yield stage
    context.close()


def minutes_of_arc(px, size):
    width, height, longer_mm, away_mm = SIZES[size]
    seen_mm = px * longer_mm / max(width, height)
    return 60 * degrees(2 * atan(seen_mm / 2 / away_mm))


@pytest.mark.parametrize("size", SIZES)
def test_what_one_acts_on_is_large_enough_to_be_read_at_a_glance(running, size):
    width, height, *_ = SIZES[size]
    running.page.set_viewport_size({"width": width, "height": height})
    running.catch_up()
    seen = {
        name: minutes_of_arc(running.page.evaluate(HEIGHT, [name, letter]), size)
        for letter, names in (("8", DIGITS), ("H", WORDS))
        for name in names
    }
    aims = DIGITS | WORDS
    assert {name: round(got, 1) for name, got in seen.items() if got < aims[name]} == {}


def test_no_two_times_left_are_of_like_size(running):
    running.page.set_viewport_size({"width": 1280, "height": 800})
    running.catch_up()
    of_slot, of_segment = (
        running.page.evaluate(HEIGHT, [f"[data-part={name}]", "8"])
        for name in ("slot-digits", "now-digits")
    )
    assert of_segment > 1.5 * of_slot
