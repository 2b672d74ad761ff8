"""The stage can be read from two metres, hit with a wet hand, and used without eyes or network."""

import pytest

from tests.browser.axe import barred_by_axe
from tests.browser.chromium import HOST, SLOWEST_ACTION_MS
from tests.browser.conftest import address_of
from tests.browser.desk import Desk
from tests.browser.stage_page import StagePage, new_run
from tests.owner import as_owner
from tests.thorough import all_but, some

SIZES = {"landscape": (1280, 800), "portrait": (800, 1280), "phone": (360, 740)}
SMALLEST_TARGET_PX = 48
APART_PX = 8

BOX_OF_DIGITS = """() => {
  const node = document.querySelector("[data-part=elapsed]");
  const context = document.createElement("canvas").getContext("2d");
  const style = getComputedStyle(node);
  context.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  const measured = context.measureText("8");
  return measured.actualBoundingBoxAscent + measured.actualBoundingBoxDescent;
}"""
BOXES = """() => [...document.querySelectorAll("button, a, label, summary")]
  .filter((node) => node.offsetParent !== null)
  .map((node) => {
    const { left, top, right, bottom } = node.getBoundingClientRect();
    return { words: node.innerText, left, top, right, bottom };
  })"""
MIDDLE = "(node) => { const { x, width } = node.getBBox(); return x + width / 2; }"
SIDEWAYS = "document.documentElement.scrollWidth > innerWidth"


@pytest.fixture(params=some(SIZES, all_but("phone")))
def stage(page, base_url, desk, request):
    width, height = SIZES[request.param]
    page.set_viewport_size({"width": width, "height": height})
    return StagePage(page, base_url, new_run(desk, process=True)).open()


def to_needed_process(stage):
    for seconds in (0, 30, 10, 5):
        stage.wait(seconds)
        stage.press("PageDown")


def to_finish(stage):
    to_needed_process(stage)
    stage.wait(560)
    stage.press("PageDown")


def open_incidents(stage):
    to_needed_process(stage)
    stage.press("i")


def open_question(stage):
    to_needed_process(stage)
    stage.more("Stop")


def run_over_time(stage):
    to_needed_process(stage)
    stage.wait(620)


SCENES = {
    "waiting": lambda stage: None,
    "process needed": to_needed_process,
    "incidents open": open_incidents,
    "question open": open_question,
    "over time": run_over_time,
    "finished": to_finish,
}


# One with many things to press, one with figures; where one waits, test_stage_device_look holds
# it to the same.
@pytest.mark.parametrize("scene", some(SCENES, all_but("incidents open", "finished")))
def test_scene_is_free_of_faults_that_axe_knows_and_fits_its_screen(stage, scene):
    SCENES[scene](stage)
    stage.wait(1)
    stage.page.clock.resume()  # axe waits for timers
    assert barred_by_axe(stage.page) == []
    assert not stage.page.evaluate(SIDEWAYS)


@pytest.fixture(scope="module", params=some(SIZES, all_but("phone")))
def needed(browser, base_url, desk, request):
    """A stage where a process is needed, for tests that only look at it."""
    width, height = SIZES[request.param]
    context = browser.new_context(viewport={"width": width, "height": height}, **as_owner(HOST))
    context.set_default_timeout(SLOWEST_ACTION_MS)
    stage = StagePage(context.new_page(), base_url, new_run(desk, process=True)).open()
    to_needed_process(stage)
    yield stage
    context.close()


def small(boxes):
    return [box["words"] for box in boxes if min(sides(box)) < SMALLEST_TARGET_PX - 0.01]


def close(boxes):
    pairs = [(a, b) for at, a in enumerate(boxes) for b in boxes[at + 1 :]]
    return [(a["words"], b["words"]) for a, b in pairs if distance(a, b) < APART_PX - 0.01]


def test_every_target_is_large_and_none_touches_another(needed):
    boxes = needed.page.evaluate(BOXES)
    assert (small(boxes), close(boxes)) == ([], [])


@pytest.mark.thorough
@pytest.mark.parametrize("scene", ["waiting", "incidents open", "finished"])
def test_every_target_of_another_scene_is_large_and_none_touches_another(stage, scene):
    SCENES[scene](stage)
    boxes = stage.page.evaluate(BOXES)
    assert small(boxes) == []
    assert scene == "incidents open" or close(boxes) == []


def sides(box):
    return box["right"] - box["left"], box["bottom"] - box["top"]


def distance(a, b):
    """Between the edges of two boxes along the nearer axis; negative where they overlap."""
    across = max(a["left"] - b["right"], b["left"] - a["right"])
    down = max(a["top"] - b["bottom"], b["top"] - a["bottom"])
    return max(across, down)


def cut_off(stage):
    """What must be seen and is not wholly on the screen."""
    height = stage.page.viewport_size["height"]
    parts = ("elapsed", "slot-digits", "pace-digits", "now-name", "now-digits", "next", "undo")
    boxes = {part: stage.part(part).bounding_box() for part in parts}
    return [
        part for part, box in boxes.items() if box["y"] < 0 or box["y"] + box["height"] > height
    ]


def test_what_must_be_seen_is_on_the_screen(needed):
    assert cut_off(needed) == []
    next_box, now_box = needed.part("next").bounding_box(), needed.part("now-digits").bounding_box()
    assert now_box["y"] + now_box["height"] <= next_box["y"]
    assert next_box["height"] >= 96
    assert next_box["y"] + next_box["height"] == needed.page.viewport_size["height"]


def test_wet_hand_that_misses_next_hits_no_other_control(needed):
    next_top = needed.part("next").bounding_box()["y"]
    others = [each for each in needed.page.evaluate(BOXES) if each["top"] < next_top]
    assert {each["words"].split("\n")[0] for each in others} >= {"Undo", "Incident", "Ready"}
    assert next_top - max(each["bottom"] for each in others) >= 12


def test_elapsed_is_high_enough_to_be_read_from_two_metres(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.press("PageDown")
    assert page.evaluate(BOX_OF_DIGITS) >= 0.16 * 800


@pytest.mark.thorough
def test_over_time_is_hatched_not_only_coloured(stage):
    run_over_time(stage)
    clock = stage.page.locator(".clock")
    background = clock.evaluate("(node) => getComputedStyle(node).backgroundImage")
    assert "repeating-linear-gradient" in background
    assert stage.page.locator("#tape-whole .tape-over").get_attribute("fill").startswith("url(")


@pytest.mark.thorough
def test_tape_shows_target_and_slot_to_scale(page, base_url, desk):
    stage = StagePage(page, base_url, new_run(desk)).open()
    rules = stage.data["rules"]
    stage.press("PageDown")
    stage.wait(60)
    at = {
        kind: page.locator(f"#tape-whole .tape-mark-{kind}").evaluate(MIDDLE)
        for kind in ("target", "slot")
    }
    assert at["target"] / at["slot"] == pytest.approx(rules["target_s"] / rules["slot_s"])


def test_after_the_first_paint_nothing_but_marks_goes_over_the_network(page, empty_server):
    with Desk(empty_server.url) as desk:
        stage = StagePage(page, address_of(empty_server), new_run(desk, process=True)).open()
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    empty_server.kill()
    open_question(stage)
    stage.page.keyboard.press("Escape")
    stage.press("i")
    stage.press("1")
    run_over_time(stage)
    stage.press("PageDown")
    assert stage.view == "closed"
    assert [url for url in asked if "/api/runs/" not in url] == []


@pytest.mark.thorough
def test_on_plain_http_the_person_is_told_before_the_start_that_the_screen_may_sleep(stage):
    assert stage.part("sleep-hint").is_visible()


def test_where_the_browser_allows_it_the_screen_is_kept_awake_during_the_run(page, base_url, desk):
    page.add_init_script(
        """window.locks = [];
        Object.defineProperty(navigator, "wakeLock", { value: {
          request: async (kind) => {
            const lock = (window.lock = new EventTarget());
            lock.release = () => lock.dispatchEvent(new Event("release"));
            locks.push(kind);
            return lock;
          },
        } });"""
    )
    stage = StagePage(page, base_url, new_run(desk)).open()
    assert not stage.part("sleep-hint").is_visible()
    stage.press("PageDown")
    assert page.evaluate("locks") == ["screen"]
    assert not stage.part("sleep-sign").is_visible()
    page.evaluate("lock.release()")
    assert stage.part("sleep-sign").is_visible()


def test_the_help_for_keys_is_no_narrow_column_on_a_phone_on_its_side(stage):
    stage.page.set_viewport_size({"width": 640, "height": 360})
    assert stage.page.locator(".stage-keys").bounding_box()["width"] > 500
