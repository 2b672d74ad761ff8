"""Over https: a secure context, an app to install, and a stage that opens without the server."""

import re

import pytest
from playwright.sync_api import expect

from server.bootstrap import find_chromium
from tests.browser.stage_page import StagePage, new_run

READY = "navigator.serviceWorker.ready.then((found) => found.active.state === 'activated')"
KEPT = """(path) => caches.match(location.origin + path).then(Boolean)"""
KEPT_FINISH = """(path) => caches.match(location.origin + path)
  .then((kept) => kept.text()).then((page) => page.includes('"kind": "finish"'))"""
CAPABLE = """() => ({
  secure: isSecureContext, wake: "wakeLock" in navigator, worker: "serviceWorker" in navigator,
  recorder: Boolean(navigator.mediaDevices?.getUserMedia && window.MediaRecorder),
})"""


@pytest.fixture
def away(secure_server):
    """Takes the server away; it is back when the test ends."""
    yield secure_server.kill
    secure_server.stop()
    secure_server.start()


@pytest.fixture
def stage(secure_page, secure_desk, secure_url):
    """A stage that was opened once, with the worker in place."""
    opened = StagePage(secure_page, secure_url, new_run(secure_desk)).open(driven=False)
    wait_until_kept(opened)
    return opened


def wait_until(page, promised, given=None):
    """Wait until what a page promises is true; the browser's own waiting takes a promise for it."""
    for _ in range(400):
        if page.evaluate(promised, given):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never true: {promised}")


def wait_until_kept(stage):
    wait_until(stage.page, READY)
    wait_until(stage.page, KEPT, f"/runs/{stage.run_id}/stage")


def finish(stage):
    """Run through, and wait until the copy that is kept here knows of it."""
    for _ in range(5):
        stage.page.keyboard.press("PageDown")
        stage.page.wait_for_timeout(350)
    stage.wait_for_text("closed-sync", "all marks")
    wait_until(stage.page, KEPT_FINISH, f"/runs/{stage.run_id}/stage")


def test_over_https_the_browser_lends_what_plain_http_denies(secure_page):
    secure_page.goto("/")
    assert secure_page.evaluate(CAPABLE) == dict.fromkeys(
        ("secure", "wake", "worker", "recorder"), True
    )


def test_over_http_it_denies_it_and_the_app_registers_nothing(page):
    page.goto("/")
    assert page.evaluate(CAPABLE) == dict.fromkeys(("secure", "wake", "worker", "recorder"), False)


@pytest.mark.thorough
@pytest.mark.skipif(
    "headless-shell" in (find_chromium() or ""),
    reason="the browser without windows has no screen to keep awake: CHROMIUM=chromium has",
)
def test_the_screen_is_kept_awake_over_https(stage):
    stage.page.keyboard.press("PageDown")
    stage.part("sync").wait_for()
    wait_until(stage.page, "document.querySelector('[data-part=sleep-sign]').hidden")


def test_the_app_can_be_installed(secure_page, secure_url):
    secure_page.goto("/")
    session = secure_page.context.new_cdp_session(secure_page)
    found = session.send("Page.getAppManifest")
    assert found["errors"] == []
    assert found["url"] == f"{secure_url}/static/manifest.webmanifest"
    # In a private window only that it is one may stand in the way.
    errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert {each["errorId"] for each in errors} <= {"in-incognito"}


@pytest.mark.thorough
def test_a_stage_that_was_open_opens_again_without_the_server_and_its_marks_arrive(
    stage, away, secure_server
):
    stage.page.keyboard.press("PageDown")
    stage.wait_for_text("sync", "all marks")
    away()
    stage.page.reload()
    stage.settle()
    stage.page.keyboard.press("PageDown")
    stage.wait_for_text("sync", "not yet")
    assert stage.view == "running"
    secure_server.stop()
    secure_server.start()
    stage.wait_for_text("sync", "all marks")
    ends = stage.server_state(secure_server.url).ends_ms
    assert [end is not None for end in ends] == [True, False, False, False]


def test_a_stage_opens_without_the_server_in_a_new_tab_and_starts_there(stage, away, secure_url):
    away()
    stage.page.close()
    tab = StagePage(stage.page.context.new_page(), secure_url, stage.run_id).open(driven=False)
    tab.page.keyboard.press("PageDown")
    tab.wait_for_text("sync", "not yet")
    expect(tab.page.locator("body")).to_have_attribute("data-status", "running")


def test_rehearse_again_begins_a_new_run_without_the_server_and_its_marks_arrive(
    stage, away, secure_server, secure_desk
):
    finish(stage)
    away()
    stage.page.get_by_role("link", name="Rehearse again").click()
    stage.page.wait_for_url("**#again=*")
    expect(stage.page.locator("body")).to_have_attribute("data-status", "waiting")
    new_id = stage.page.url.split("#again=")[1]
    stage.page.keyboard.press("PageDown")
    stage.wait_for_text("sync", "1 mark not yet")
    stage.page.reload()
    expect(stage.page.locator("body")).to_have_attribute("data-status", "running")
    secure_server.stop()
    secure_server.start()
    stage.wait_for_text("sync", "all marks")
    events = secure_desk.get(f"/api/runs/{new_id}/events").json()["events"]
    assert events[0]["from_run"] == stage.run_id
    assert secure_desk.get(f"/runs/{new_id}/stage").status_code == 200


def test_every_other_page_says_that_the_server_is_away_and_of_each_kept_run_what_can_be_done(
    stage, away, secure_url
):
    finish(stage)
    away()
    stage.page.goto(f"{secure_url}/rules")
    expect(stage.page.locator("h1")).to_have_text("The app does not answer")
    line = stage.page.locator("[data-kept-stages] li").filter(
        has=stage.page.locator(f"a[href='/runs/{stage.run_id}/stage']")
    )
    expect(line).to_contain_text(re.compile(r"Evening <set>, run of \d+ \w+ \d{4}, \d\d:\d\d"))
    line.get_by_role("link", name="Rehearse again").click()
    expect(stage.page.locator("body")).to_have_attribute("data-status", "waiting")
    stage.page.keyboard.press("PageDown")
    stage.wait_for_text("sync", "1 mark not yet")
    stage.page.goto(f"{secure_url}/rules")
    expect(stage.page.locator("[data-kept-stages] li").first).to_contain_text("under way since")


def test_answers_of_the_api_and_ordinary_pages_are_kept_nowhere(stage, secure_url):
    stage.page.goto(f"{secure_url}/rules")
    kept = stage.page.evaluate(
        "caches.keys().then((names) => Promise.all(names.map((name) => caches.open(name)"
        ".then((cache) => cache.keys())))).then((all) => all.flat().map((each) => each.url))"
    )
    paths = {url.removeprefix(secure_url) for url in kept}
    others = {path for path in paths if not path.startswith("/static/")}
    assert "/static/js/stage/main.js" in paths
    assert all(path == "/offline" or path.endswith("/stage") for path in others)


@pytest.mark.thorough
def test_a_deleted_run_is_no_longer_kept(stage, secure_desk):
    secure_desk.post(f"/runs/{stage.run_id}/delete")
    stage.page.reload()
    stage.page.get_by_text("This run was deleted").wait_for()
    assert not stage.page.evaluate(KEPT, f"/runs/{stage.run_id}/stage")


@pytest.mark.thorough
def test_a_cache_of_a_former_version_goes_and_its_stages_are_fetched_anew(stage, secure_url):
    path = f"/runs/{stage.run_id}/stage"
    stage.page.goto(f"{secure_url}/rules")
    stage.page.evaluate(
        """async (path) => {
          for (const name of await caches.keys()) await caches.delete(name);
          const former = await caches.open("ninefifty-former");
          await former.put(path, new Response("former"));
          await (await navigator.serviceWorker.getRegistration()).unregister();
        }""",
        path,
    )
    stage.page.reload()
    wait_until(
        stage.page,
        """(path) => caches.has("ninefifty-former").then(async (former) =>
          !former && (await (await caches.match(path))?.text())?.includes("run-data"))""",
        path,
    )
    assert len(stage.page.evaluate("caches.keys()")) == 1
