"""A recording becomes a run by finger: sent, listened to, a boundary dragged, accepted, counted."""

import shutil

import pytest
from playwright.sync_api import expect

from server.domain.whole.routine_file import RoutineFile, file_pieces
from tests.browser.conftest import address_of
from tests.browser.desk import Desk
from tests.browser.dragging import drag_by_finger, middle
from tests.browser.heard.speaking import hearing_server, spoken_take
from tests.factories import RULES
from tests.spoken import spoken_routine

TABLET = {"viewport": {"width": 800, "height": 1280}, "has_touch": True}
AROUND_PX = 90

pytestmark = pytest.mark.skipif(
    shutil.which("flite") is None, reason="flite, which speaks the take, is not installed"
)


@pytest.fixture
def take():
    """The sound of the take, and its words with their times."""
    return spoken_take()


@pytest.fixture
def tablet(take, tmp_path, new_context):
    """A tablet at the ways in of a routine, on a server that can listen."""
    running = hearing_server(tmp_path, take[1])
    running.start()
    with Desk(running.url) as desk:
        file = RoutineFile("ninefifty-routine", 1, spoken_routine(name="Pears"), RULES)
        files = {"file": ("pears.json", "".join(file_pieces(file, ())))}
        answer = desk.post("/import", files=files, follow_redirects=False)
    path = "/".join(answer.headers["location"].split("/")[:3])
    page = new_context(**TABLET).new_page()
    page.goto(f"{address_of(running)}{path}/takes")
    yield page
    running.stop()


def tap(page, name, role="button"):
    page.get_by_role(role, name=name).tap()


def test_a_recording_becomes_a_run_by_finger_alone(tablet, take):
    content, words = take
    sound = {"name": "pears.wav", "mimeType": "audio/wav", "buffer": content}
    tablet.get_by_label("Sound or video", exact=True).set_input_files(sound)
    tap(tablet, "Send it")
    tap(tablet, "Find the words")
    row = tablet.locator("#line-s2")
    first_s = next(start_s for word, start_s, _ in words if word == "First")
    expect(row).to_contain_text("Sure")
    expect(tablet.locator("canvas[data-wave]")).to_be_visible()
    tap(tablet, "Segment s2", "link")
    slider = tablet.get_by_role("slider", name="Start: 2. Segment s2")
    heard_ms = int(slider.get_attribute("aria-valuenow"))
    assert abs(heard_ms / 1000 - first_s) < 0.1
    x, y = middle(slider)
    drag_by_finger(tablet, (x, y), (x + AROUND_PX, y))
    expect(row).to_contain_text("Set by you")
    # The slider shows 16 s across its width.
    moved_ms = 16_000 * AROUND_PX / slider.bounding_box()["width"]
    assert int(slider.get_attribute("aria-valuenow")) == pytest.approx(heard_ms + moved_ms, abs=60)
    tap(tablet, "Make it a run", "link")
    tablet.get_by_label("Name of this run").fill("By finger")
    tap(tablet, "Make it a run")
    expect(tablet.get_by_role("heading", level=1)).to_contain_text("By finger")
    tap(tablet, "All runs", "link")
    expect(tablet.get_by_text("By finger").first).to_be_visible()
    tablet.goto(f"{tablet.url.split('?')[0]}?show=figures")
    expect(tablet.locator("main")).to_contain_text("ripe pear")
    expect(tablet.locator("main")).to_contain_text("1 of 1")
