"""The rows of the stage stand still for a whole run, and hold what one acts on at any size."""

from itertools import product

import pytest

from tests.browser.chromium import HOST, SLOWEST_ACTION_MS
from tests.browser.stage_page import StagePage, new_run
from tests.owner import as_owner
from tests.thorough import few

SIZES = {
    "tablet": (1280, 800),
    "upright tablet": (800, 1280),
    "phone": (360, 640),
    "small phone": (320, 480),
    "phone on its side": (640, 360),
    "tablet at twice the zoom": (640, 400),
    "small laptop": (960, 600),
}
DEMO = "/routines/routine-demo"
PLACES = """() => Object.fromEntries(
  [".elapsed", ".controls", ".tapes", ".now", ".cues", ".processes", ".next", ".undo", ".ready"]
    .map((name) => [name, document.querySelector(name)])
    .filter(([, node]) => node && node.offsetParent !== null)
    .map(([name, node]) => {
      const { left, top, bottom } = node.getBoundingClientRect();
      return [name, [left, top, bottom]];
    }))"""
# What is pressed must also lie open to a finger; what is read must not be cut.
OUT_OF_REACH = """(names) => names.filter((name) => {
  const node = document.querySelector(name);
  const { left, top, right, bottom } = node.getBoundingClientRect();
  const inside = left >= 0 && top >= 0 && right <= innerWidth && bottom <= innerHeight;
  const hit = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
  const open = node.contains(hit) || hit?.contains(node);
  const over = [node.scrollHeight - node.clientHeight, node.scrollWidth - node.clientWidth];
  const cut = node.matches("[data-fit]") && Math.max(...over) > 1;
  return right <= left || !inside || !open || cut;
})"""
NOTICE = """(isHidden) => {
  const words = "The server does not know this run. The marks of this run stay on this device.";
  document.querySelector("[data-part=notice-words]").textContent = words;
  document.querySelector("[data-part=notice]").hidden = isHidden;
}"""
READ = [".elapsed", ".pace dd", ".now h2", ".now-left", ".next-name"]
PRESSED = [".next", ".undo", "[data-part=incident]", "[data-part=due-switch]", ".more-switch"]
BESIDE = [".ready", ".due button"]


def at(stage, size):
    width, height = SIZES[size]
    stage.page.set_viewport_size({"width": width, "height": height})
    stage.catch_up()


@pytest.mark.parametrize("size", few(["phone", "tablet", "upright tablet"]))
def test_nothing_moves_when_a_process_begins_or_ends(page, base_url, desk, size):
    stage = StagePage(page, base_url, new_run(desk, process=True)).open()
    at(stage, size)
    seen = []
    for seconds in (0, 30, 60, 90):
        stage.wait(seconds)
        stage.press("PageDown")
        seen.append(page.evaluate(PLACES))
    stage.press("r")
    seen.append(page.evaluate(PLACES))
    assert ".ready" in seen[1]
    assert ".ready" not in seen[4]
    assert [shown | {".ready": seen[1][".ready"]} for shown in seen] == [seen[1]] * 5


@pytest.fixture(scope="module")
def crowded(browser, base_url, desk):
    """The demo late in its run: a process is needed, plan B and the row of claims are shown."""
    context = browser.new_context(**as_owner(HOST))
    context.set_default_timeout(SLOWEST_ACTION_MS)
    run_id = desk.send_form(f"{DEMO}/rehearse").split("/")[2]
    stage = StagePage(context.new_page(), base_url, run_id).open()
    for _ in range(13):
        stage.page.keyboard.press("PageDown")
        stage.wait(5)
    stage.part("due-switch").click()
    stage.wait(600)
    yield stage
    context.close()


def test_what_one_acts_on_stays_on_the_screen_at_any_size(crowded):
    look = "(print) => { document.documentElement.dataset.print = print; }"
    found = {}
    for size, print_ in product(SIZES, ["large", "usual"]):
        at(crowded, size)
        crowded.page.evaluate(look, print_)
        crowded.catch_up()
        seen = crowded.page.evaluate(OUT_OF_REACH, [*READ, *PRESSED, *BESIDE])
        high = crowded.part("next").bounding_box()["height"]
        found[size, print_] = seen, high >= 96
    assert found == dict.fromkeys(found, ([], True))


def test_notice_pushes_nothing_that_one_acts_on_from_the_screen(crowded):
    crowded.page.evaluate(NOTICE, False)
    found = {}
    for size in SIZES:
        at(crowded, size)
        found[size] = crowded.page.evaluate(
            OUT_OF_REACH, [*READ, *PRESSED, *BESIDE, "[data-part=notice] button"]
        )
    crowded.page.evaluate(NOTICE, True)
    assert {size: names for size, names in found.items() if names} == {}


def test_question_shows_both_its_answers_at_any_size(crowded):
    answers = ["[data-part=question-no]", "[data-part=question-yes]", "#question-words"]
    found = {}
    for size in SIZES:
        at(crowded, size)
        crowded.more("Stop")
        found[size] = crowded.page.evaluate(OUT_OF_REACH, answers)
        crowded.page.keyboard.press("Escape")
        crowded.wait(1)
    assert {size: names for size, names in found.items() if names} == {}


LIE_ON_EACH_OTHER = """([one, other]) => {
  const [a, b] = [one, other].map((name) => document.querySelector(name).getBoundingClientRect());
  return a.right > b.left && a.left < b.right && a.bottom > b.top && a.top < b.bottom;
}"""


def sizes_with_a_clock_on_the_buttons(stage) -> list[str]:
    found = []
    for size in SIZES:
        at(stage, size)
        if stage.page.evaluate(LIE_ON_EACH_OTHER, [".elapsed-digits", ".controls"]):
            found.append(size)
    return found


def test_a_clock_beyond_ten_minutes_leaves_the_buttons_their_place(crowded):
    assert crowded.part("elapsed").inner_text().startswith("11:")
    assert sizes_with_a_clock_on_the_buttons(crowded) == []


def test_time_left_is_called_so_beside_the_buttons_and_not_beneath_them(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk, {"Whole": "9:50"})).open()
    stage.set_up("time left")
    stage.press("PageDown")
    assert stage.text("elapsed") == "10:00"
    found = []
    for size in SIZES:
        at(stage, size)
        if page.evaluate(LIE_ON_EACH_OTHER, [".elapsed-is", ".controls"]):
            found.append(size)
    assert found == []


def test_a_clock_beyond_the_hour_leaves_the_buttons_their_place(crowded):
    crowded.wait(6000)
    crowded.catch_up()
    assert crowded.part("elapsed").inner_text().startswith("1:")
    assert sizes_with_a_clock_on_the_buttons(crowded) == []


@pytest.mark.parametrize("size", few(["phone", "tablet"]))
def test_lateness_is_louder_than_slot_and_finish(page, base_url, desk, size):
    stage = StagePage(page, base_url, new_run(desk)).open()
    at(stage, size)
    stage.press("PageDown")
    stage.wait(37)
    assert stage.part("pace-figure").inner_text().split("\n")[-1] == "7 s late"
    # Planned for 3:52; it is expected a little later, because things rather take longer.
    assert "3:52" <= stage.text("finish") <= "3:59"
    size_of = "(node) => parseFloat(getComputedStyle(node).fontSize)"
    late, slot, finish = (
        stage.part(part).evaluate(size_of) for part in ("pace-digits", "slot-digits", "finish")
    )
    assert late >= 1.5 * max(slot, finish)
    assert finish >= 16


def test_finger_counts_while_a_palm_rests_on_the_glass(new_context, base_url, desk):
    page = new_context(has_touch=True).new_page()
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.press("PageDown")
    stage.wait(10)
    palm = {"x": 200, "y": 500, "radiusX": 90, "radiusY": 90, "id": 0}
    finger = {"x": 700, "y": 500, "radiusX": 20, "radiusY": 20, "id": 1}
    touch = page.context.new_cdp_session(page)
    for points in ([palm], [palm, finger], [palm]):
        touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": points})
    stage.catch_up()
    assert stage.text("now-name") == "Brew"


def test_second_touch_within_a_second_is_not_taken_and_says_so(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk)).open()
    for seconds in (0, 10, 0.6):
        stage.wait(seconds)
        stage.press("PageDown")
    assert stage.text("now-name") == "Brew"
    assert "Not taken" in stage.text("refused")
    stage.wait(2.1)
    assert not stage.part("refused").is_visible()
    stage.press("PageDown")
    assert stage.text("now-name") == "Build"


@pytest.mark.thorough
def test_guard_against_double_touches_is_set_on_the_device(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.set_up("0.3 s")
    for seconds in (0, 10, 0.6):
        stage.wait(seconds)
        stage.press("PageDown")
    assert stage.text("now-name") == "Build"


def test_next_held_down_offers_to_skip_ahead(page, base_url, desk, server):
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.press("PageDown")
    stage.wait(30)
    stage.part("next").hover()
    page.mouse.down()
    stage.wait(0.9)
    page.mouse.up()
    assert stage.part("skip").get_by_role("button").all_inner_texts() == ["Build", "Serve"]
    stage.part("skip").get_by_role("button", name="Serve").click()
    stage.catch_up()
    assert stage.text("now-name") == "Serve"
    stage.wait_until_sent()
    state = stage.server_state(server.url)
    assert [end is None for end in state.ends_ms] == [False, True, False, True]


@pytest.mark.thorough
def test_short_touch_of_next_offers_nothing(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.press("PageDown")
    stage.wait(30)
    stage.part("next").click()
    stage.wait(2)
    assert stage.text("now-name") == "Brew"
    assert not stage.part("skip").is_visible()
