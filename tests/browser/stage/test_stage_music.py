"""The presenter's music: from the Rehearse page to the stage, in a browser that really plays it."""

import pytest
from playwright.sync_api import expect

from tests import asking
from tests.browser.conftest import address_of
from tests.browser.desk import Desk
from tests.browser.stage_page import StagePage, new_run
from tests.domain.base.test_audio import wav

# Notes the players that a page makes, so that a test can ask them.
PLAYERS = """
window.players = [];
window.Audio = new Proxy(Audio, { construct: (Made, given) => {
  const player = new Made(...given);
  players.push(player);
  return player;
} });
"""
# A browser lets a fresh page sound only after a press. Whatever a test asks of a page counts as
# one, so the rule is kept here by what is pressed.
PRESS_FIRST = """
let isPressed = false;
for (const kind of ["pointerdown", "keydown"]) {
  window.addEventListener(kind, () => { isPressed = true; }, { capture: true });
}
const play = HTMLMediaElement.prototype.play;
HTMLMediaElement.prototype.play = function () {
  if (isPressed) return play.call(this);
  return Promise.reject(new DOMException("a press comes first", "NotAllowedError"));
};
"""
AT = "players[0].currentTime"
PLAYS = "players[0]?.paused === false && !players[0].muted"
SILENT = "players[0].paused"


def with_music(desk, run_id, seconds=700):
    routine_id = desk.get(f"/runs/{run_id}/stage").text.split("/routines/")[1].split("/")[0]
    sent = desk.post(f"/music/{routine_id}", files={"music": ("Tide.wav", wav(seconds))})
    assert sent.status_code == 200
    return run_id


def ready(stage):
    """Wait until the page holds the track."""
    stage.until("window.players?.[0]?.readyState > 0")
    stage.catch_up()
    return stage


def plays(stage, *, is_playing=True):
    """Let the page notice, then wait for its player."""
    stage.page.clock.run_for(300)
    stage.until(PLAYS if is_playing else SILENT)
    return stage.page.evaluate(AT)


@pytest.fixture
def stage(page, base_url, desk):
    page.add_init_script(PLAYERS)
    page.add_init_script(PRESS_FIRST)
    return ready(StagePage(page, base_url, with_music(desk, new_run(desk))).open())


def test_music_starts_with_the_clock_and_stops_with_it(stage):
    assert stage.page.evaluate(SILENT)
    stage.press("PageDown")
    assert plays(stage) < 3
    for _ in range(4):
        stage.wait(20)
        stage.press("PageDown")
    assert stage.view == "closed"
    plays(stage, is_playing=False)


@pytest.mark.thorough
def test_music_waits_for_the_end_of_the_count_in(stage):
    stage.set_up("3 s")
    stage.press("PageDown")
    stage.page.clock.run_for(2500)
    assert not stage.page.evaluate(PLAYS)
    stage.page.clock.run_for(1000)
    stage.catch_up()
    assert plays(stage) < 3


def test_after_a_reload_any_press_brings_the_music_back_to_where_the_clock_stands(stage):
    stage.press("PageDown")
    stage.wait(120)
    stage.reload()
    ready(stage)
    stage.page.clock.run_for(300)
    stage.catch_up()
    stage.until_text("music-sign", "music waits for a press")
    stage.page.mouse.click(1200, 120, button="right")
    assert plays(stage) == pytest.approx(121, abs=3)
    assert stage.text("now-name") == "Grind"


def test_music_is_put_right_after_a_sleep(stage):
    stage.press("PageDown")
    plays(stage)
    stage.wait(200)
    assert plays(stage) == pytest.approx(200, abs=3)


@pytest.mark.thorough
def test_music_goes_on_when_the_finish_is_taken_back(stage):
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    plays(stage, is_playing=False)
    stage.press("PageUp")
    assert plays(stage) == pytest.approx(226, abs=3)


def test_music_plays_though_the_server_is_gone(page, empty_server):
    page.add_init_script(PLAYERS)
    with Desk(empty_server.url) as desk:
        run_id = with_music(desk, new_run(desk))
    stage = ready(StagePage(page, address_of(empty_server), run_id).open())
    empty_server.kill()
    stage.press("PageDown")
    assert plays(stage) < 3
    stage.wait(90)
    assert plays(stage) == pytest.approx(90, abs=3)


@pytest.mark.thorough
def test_music_has_a_loudness_of_its_own_on_each_device(stage):
    stage.page.get_by_role("button", name="Set up this device").click()
    stage.page.get_by_label("Loudness of the music").fill("15")
    assert stage.page.evaluate("players[0].volume") == pytest.approx(0.15)
    stage.reload()
    ready(stage)
    assert stage.page.evaluate("players[0].volume") == pytest.approx(0.15)


@pytest.mark.thorough
def test_music_shorter_than_the_slot_is_told_before_the_start_and_ends_alone(page, base_url, desk):
    page.add_init_script(PLAYERS)
    stage = ready(StagePage(page, base_url, with_music(desk, new_run(desk), 30)).open())
    assert "music “Tide.wav”, 0:30" in stage.text("device-words")
    assert "the music ends at 0:30, before the slot does" in stage.text("device-words")
    stage.press("PageDown")
    plays(stage)
    stage.wait(60)
    plays(stage, is_playing=False)
    assert stage.view == "running"


@pytest.mark.thorough
def test_music_that_the_browser_holds_back_waits_for_a_press(page, base_url, desk):
    page.add_init_script(
        PLAYERS
        + """
        window.isHeldBack = false;
        const play = HTMLMediaElement.prototype.play;
        HTMLMediaElement.prototype.play = function () {
          return isHeldBack
            ? Promise.reject(new DOMException("no press", "NotAllowedError"))
            : play.call(this);
        };"""
    )
    stage = ready(StagePage(page, base_url, with_music(desk, new_run(desk))).open())
    page.evaluate("() => { isHeldBack = true; }")
    stage.press("PageDown")
    page.clock.run_for(300)
    stage.catch_up()
    assert stage.text("music-sign") == "music waits for a press"
    page.evaluate("() => { isHeldBack = false; }")
    stage.wait(5)
    stage.press("PageDown")
    assert plays(stage) == pytest.approx(6, abs=3)
    assert not stage.part("music-sign").is_visible()


@pytest.mark.thorough
def test_music_that_was_deleted_meanwhile_is_told_and_the_run_goes_on(page, base_url, desk, server):
    run_id = with_music(desk, new_run(desk))
    page.route("**/music/**", lambda route: route.fulfill(status=404))
    stage = StagePage(page, base_url, run_id).open()
    expect(stage.part("device-words")).to_contain_text("could not be fetched")
    stage.press("PageDown")
    assert stage.view == "running"


@pytest.mark.thorough
def test_music_is_fetched_as_soon_as_the_server_is_back(page, base_url, desk):
    page.add_init_script(PLAYERS)
    run_id = with_music(desk, new_run(desk))
    page.route("**/music/**", lambda route: route.abort())
    stage = StagePage(page, base_url, run_id).open()
    expect(stage.part("device-words")).to_contain_text("could not be fetched")
    page.unroute("**/music/**")
    stage.wait(6)
    ready(stage)
    expect(stage.part("device-words")).to_contain_text("Tide.wav”, 11:40")


# On the Rehearse page


@pytest.fixture
def rehearse(page, desk):
    page.goto(f"/routines/{desk.routine('Evening set', {'Greet': '0:20'})}/rehearse")
    return page


def choose(page, content, name="Tide.wav"):
    file = {"name": name, "mimeType": "audio/wav", "buffer": content}
    page.get_by_label("A track that starts with the clock").set_input_files(file)


def test_track_is_uploaded_measured_and_deleted(rehearse):
    choose(rehearse, wav(83))
    rehearse.get_by_role("button", name="Upload").click()
    expect(rehearse.locator("[data-track-length]")).to_have_text("1:23")
    expect(rehearse.locator("[data-track-short]")).to_contain_text("shorter than the slot of 10:00")
    rehearse.get_by_role("button", name="Delete the music Tide.wav").click()
    expect(rehearse.locator("audio")).to_have_count(0)


@pytest.mark.thorough
def test_track_as_long_as_the_slot_gives_no_warning(rehearse):
    choose(rehearse, wav(600))
    rehearse.get_by_role("button", name="Upload").click()
    expect(rehearse.locator("[data-track-length]")).to_have_text("10:00")
    expect(rehearse.locator("[data-track-short]")).to_be_hidden()


def test_what_is_no_sound_is_refused_beside_the_field(rehearse):
    choose(rehearse, b"<svg/>", "song.mp3")
    rehearse.get_by_role("button", name="Upload").click()
    expect(rehearse.locator(".music .fault:visible")).to_contain_text("no sound file")


def test_file_that_is_too_large_is_told_of_before_it_is_sent(rehearse):
    rehearse.evaluate("document.querySelector('#music-file').dataset.most = '1000'")
    choose(rehearse, wav(1))
    expect(rehearse.locator("[data-too-large]")).to_be_visible()
    assert rehearse.get_by_role("button", name="Upload").is_disabled()
    choose(rehearse, wav(0.01))
    assert rehearse.get_by_role("button", name="Upload").is_enabled()


@pytest.mark.thorough
def test_sound_that_this_browser_cannot_play_is_told_of(rehearse):
    choose(rehearse, b"fLaC" + bytes(400))
    rehearse.get_by_role("button", name="Upload").click()
    expect(rehearse.get_by_text("This browser cannot play it")).to_be_visible()


def test_track_is_played_by_the_page_itself(rehearse, base_url):
    choose(rehearse, wav(5))
    rehearse.get_by_role("button", name="Upload").click()
    rehearse.locator("audio").evaluate("(player) => player.play()")
    StagePage(rehearse, base_url, "").until("document.querySelector('audio').currentTime > 0.2")
    source = rehearse.locator("audio").get_attribute("src")
    assert asking.get(base_url.replace("tablet.lan", "127.0.0.1") + source).status_code == 200


@pytest.mark.parametrize(("status", "told"), [(503, "cannot be heard just now"), (404, "missing")])
def test_a_track_that_cannot_be_had_is_not_said_to_be_unplayable(page, desk, watch, status, told):
    routine_id = desk.routine("Set", {"Greet": "0:20"})
    desk.post(f"/music/{routine_id}", files={"music": ("Tide.wav", wav(20))})
    watch.allow(str(status))
    page.route(f"**/music/{routine_id}/*", lambda route: route.fulfill(status=status))
    page.goto(f"/routines/{routine_id}/rehearse")
    expect(page.get_by_text(told)).to_be_visible()
    expect(page.get_by_text("This browser cannot play it")).to_be_hidden()
