"""A run is recorded on the device, sent afterwards, and heard segment by segment."""

import re
from contextlib import suppress

import pytest
from playwright.sync_api import Error, expect

from tests.browser.axe import barred_by_axe
from tests.browser.chromium import HOST
from tests.browser.frame.test_accessibility import bars
from tests.browser.frame.test_offline import wait_until
from tests.browser.killing import kill_browser_of
from tests.browser.stage_page import StagePage, new_run
from tests.owner import owner_cookies

TAKES = """() => new Promise((resolve, reject) => {
  const request = indexedDB.open("ninefifty-recordings", 1);
  request.onerror = () => reject(request.error);
  request.onsuccess = () => {
    const all = request.result.transaction("takes").objectStore("takes").getAll();
    all.onsuccess = () => resolve(all.result);
  };
})"""


@pytest.fixture
def stage(secure_page, secure_desk, secure_url):
    return StagePage(secure_page, secure_url, new_run(secure_desk)).open(driven=False)


def choose(stage, what):
    stage.page.locator("[data-part=recording-choice]").get_by_text(what, exact=True).click()
    if what != "no":
        stage.wait_for_text("recording-now", "Ready")


def run_through(stage, seconds=(1.2, 1.2, 1.2, 1.2)):
    """Start, and mark each segment after so many seconds by the clock on the wall."""
    stage.page.keyboard.press("PageDown")
    for each in seconds:
        stage.page.wait_for_timeout(each * 1000)
        stage.page.keyboard.press("PageDown")


def recording_of(stage, desk):
    page = desk.get(f"/runs/{stage.run_id}").text
    return re.search(r'src="/recordings/([\w-]+)"', page)[1]


def test_nothing_is_recorded_unless_it_was_asked_for(stage, secure_desk):
    run_through(stage, (0.4, 0.4, 0.4, 0.4))
    stage.wait_for_text("closed-sync", "all marks")
    assert stage.page.evaluate(TAKES) == []
    assert "data-player" not in secure_desk.get(f"/runs/{stage.run_id}").text


def test_over_plain_http_it_says_why_recording_is_not_offered(page, desk, base_url):
    stage = StagePage(page, base_url, new_run(desk)).open(driven=False)
    assert stage.part("recording-choice").is_hidden()
    expect(stage.part("recording-why")).to_contain_text("only over https")


def test_sound_is_recorded_with_the_clock_shown_sent_and_heard(stage, secure_desk, secure_url):
    choose(stage, "sound")
    stage.page.keyboard.press("PageDown")
    expect(stage.part("recording-sign")).to_have_text("● recording sound")
    for _ in range(4):
        stage.page.wait_for_timeout(1200)
        stage.page.keyboard.press("PageDown")
    stage.wait_for_text("recording-news", "The recording is on the server.")
    assert stage.page.evaluate(TAKES) == []
    page = stage.page
    page.goto(f"{secure_url}/runs/{stage.run_id}")
    assert page.locator("[data-hear]").count() == 4
    page.get_by_text("Hear one segment").click()
    page.locator("[data-hear]").nth(2).click()
    # How long it is must be found out first, which takes a busy machine its time.
    expect(page.locator(".chapters [aria-current]")).to_contain_text("3. Build", timeout=30_000)
    heard = page.evaluate("(() => { const p = document.querySelector('[data-player]');"
        " return [p.duration, p.currentTime, p.error?.message ?? null]; })()")  # fmt: skip
    assert 4 < heard[0] < 7
    assert 2.2 < heard[1] < 4
    assert heard[2] is None
    page.emulate_media(media="print")
    expect(page.locator("[data-player]")).to_be_hidden()


@pytest.mark.thorough
def test_the_player_reads_the_chapters(stage, secure_desk, secure_url):
    choose(stage, "sound")
    run_through(stage)
    stage.wait_for_text("recording-news", "on the server")
    stage.page.goto(f"{secure_url}/runs/{stage.run_id}")
    cues = "[...document.querySelector('[data-player]').textTracks[0].cues ?? []]"
    wait_until(stage.page, f"() => {cues}.length === 4")
    texts = stage.page.evaluate(f"{cues}.map((cue) => cue.text)")
    assert texts == ["1. Grind", "2. Brew", "3. Build", "4. Serve"]
    ends = secure_desk.get(f"/api/runs/{stage.run_id}/events").json()["events"]
    first_end_s = (ends[1]["mono_ms"] - ends[0]["mono_ms"]) / 1000
    assert stage.page.evaluate(f"{cues}[0].endTime") == pytest.approx(first_end_s, abs=0.3)


@pytest.mark.thorough
def test_video_is_recorded_as_well(stage, secure_desk, secure_url):
    choose(stage, "video")
    wait_until(stage.page, "() => document.querySelector('video').videoWidth > 0")
    run_through(stage)
    stage.wait_for_text("recording-news", "on the server")
    recording = recording_of(stage, secure_desk)
    answer = secure_desk.get(f"/recordings/{recording}", headers={"Range": "bytes=0-3"})
    assert (answer.status_code, answer.headers["content-type"]) == (206, "video/webm")
    stage.page.goto(f"{secure_url}/runs/{stage.run_id}")
    wait_until(stage.page, "() => document.querySelector('video').videoWidth > 0")


@pytest.mark.thorough
def test_the_choice_is_remembered_on_the_device(stage):
    choose(stage, "sound")
    stage.page.reload()
    stage.settle()
    stage.wait_for_text("recording-now", "Ready")
    assert stage.page.locator("input[name=recording]:checked").get_attribute("value") == "sound"


@pytest.mark.thorough
def test_a_page_that_dies_costs_a_second_and_the_rest_is_sent(stage, secure_desk, secure_url):
    choose(stage, "sound")
    stage.page.keyboard.press("PageDown")
    stage.page.wait_for_timeout(3500)
    context = stage.page.context
    stage.page.close(run_before_unload=False)
    other = context.new_page()
    other.goto(f"{secure_url}/runs/{stage.run_id}")
    expect(other.locator("[data-recording-news]")).to_contain_text("on the server")
    other.reload()
    wait_until(other, "() => document.querySelector('[data-player]').duration > 2")


def test_a_recording_waits_on_the_device_while_the_server_is_away(stage, secure_server):
    choose(stage, "sound")
    stage.page.keyboard.press("PageDown")
    stage.page.wait_for_timeout(1500)
    secure_server.kill()
    for _ in range(4):
        stage.page.wait_for_timeout(400)
        stage.page.keyboard.press("PageDown")
    stage.wait_for_text("recording-news", "is on this device and is sent later")
    secure_server.start()
    stage.wait_for_text("recording-news", "on the server")
    stage.wait_for_text("closed-sync", "all marks")


@pytest.mark.thorough
def test_a_refused_recording_stays_on_the_device_and_can_be_saved_or_deleted(stage, secure_desk):
    choose(stage, "sound")
    stage.page.keyboard.press("PageDown")
    stage.page.wait_for_timeout(1500)
    secure_desk.post(f"/runs/{stage.run_id}/delete")
    for _ in range(4):
        stage.page.wait_for_timeout(400)
        stage.page.keyboard.press("PageDown")
    stage.wait_for_text("recording-news", "This run was deleted")
    with stage.page.expect_download() as download:
        stage.page.get_by_role("button", name="Save the recording as a file").click()
    assert download.value.suggested_filename == f"run-{stage.run_id}.webm"
    stage.page.get_by_role("button", name="Delete it from this device").click()
    stage.wait_for_text("recording-news", "was deleted from this device")
    assert stage.page.evaluate(TAKES) == []


def test_a_microphone_that_is_denied_is_told_and_the_run_goes_on(stage):
    stage.page.evaluate(
        "() => { navigator.mediaDevices.getUserMedia = () =>"
        " Promise.reject(new DOMException('', 'NotAllowedError')); }"
    )
    stage.page.locator("[data-part=recording-choice]").get_by_text("sound", exact=True).click()
    stage.wait_for_text("recording-now", "may not use the microphone")
    run_through(stage, (0.4, 0.4, 0.4, 0.4))
    stage.wait_for_text("closed-sync", "all marks")


@pytest.mark.thorough
def test_the_stage_with_its_choice_and_its_sign_bars_nobody(stage):
    choose(stage, "sound")
    assert bars(stage.page) == ""
    stage.page.keyboard.press("PageDown")
    expect(stage.part("recording-sign")).to_have_text("● recording sound")
    assert barred_by_axe(stage.page) == []


@pytest.mark.thorough
def test_a_limit_that_a_run_may_reach_is_told_before_the_start(
    secure_page, secure_desk, secure_url
):
    run_id = new_run(secure_desk)
    path = f"/runs/{run_id}/stage"
    text = re.sub(r'data-most-mb="\d+"', 'data-most-mb="1"', secure_desk.get(path).text)
    secure_page.route(f"**{path}", lambda route: route.fulfill(body=text, content_type="text/html"))
    stage = StagePage(secure_page, secure_url, run_id).open(driven=False)
    choose(stage, "sound")
    # 1,048,576 bytes at 64 kbit/s, less five seconds.
    expect(stage.part("recording-now")).to_contain_text(
        "the limit of 1 MB is reached at about 2:06"
    )


@pytest.mark.thorough
def test_a_device_without_room_records_nothing_and_says_so(stage):
    stage.page.evaluate(
        "() => { navigator.storage.estimate = () => Promise.resolve({ quota: 1e8, usage: 9e7 }); }"
    )
    stage.page.locator("[data-part=recording-choice]").get_by_text("video", exact=True).click()
    stage.wait_for_text("recording-now", "too little room")
    stage.page.keyboard.press("PageDown")
    expect(stage.part("recording-sign")).to_have_text("not recording")


@pytest.mark.thorough
def test_a_finish_that_is_taken_back_goes_on_in_a_second_take(stage, secure_desk):
    choose(stage, "sound")
    run_through(stage, (1.2, 0.4, 0.4, 0.4))
    stage.wait_for_text("recording-news", "on the server")
    stage.page.get_by_role("button", name="Take back the finish").click()
    expect(stage.part("recording-sign")).to_have_text("● recording sound")
    stage.page.wait_for_timeout(1500)
    stage.page.keyboard.press("PageDown")
    for _ in range(400):
        if secure_desk.get(f"/runs/{stage.run_id}").text.count("data-player") == 2:
            break
        stage.page.wait_for_timeout(50)
    else:
        raise AssertionError("the second take never arrived")


def test_a_browser_that_is_killed_costs_seconds_and_the_rest_is_sent(
    playwright, secure_options, secure_desk, secure_url, tmp_path
):
    """Killed as by a dead battery: no page says goodbye."""
    run_id = new_run(secure_desk)
    context = playwright.chromium.launch_persistent_context(tmp_path, **secure_options)
    context.add_cookies(owner_cookies(HOST))
    stage = StagePage(context.new_page(), secure_url, run_id).open(driven=False)
    choose(stage, "sound")
    stage.page.keyboard.press("PageDown")
    stage.page.wait_for_timeout(4000)
    kill_browser_of(tmp_path)
    with suppress(Error):  # It may have heard already that its browser is gone.
        context.close()
    for lock in tmp_path.glob("Singleton*"):
        lock.unlink()
    context = playwright.chromium.launch_persistent_context(tmp_path, **secure_options)
    # A killed browser may have lost the cookies of its last half minute.
    context.add_cookies(owner_cookies(HOST))
    other = context.new_page()
    other.goto(f"{secure_url}/runs/{run_id}")
    expect(other.locator("[data-recording-news]")).to_contain_text("on the server")
    other.reload()
    wait_until(other, "() => document.querySelector('[data-player]').duration > 1.5")
    context.close()
