"""Marks are never lost: reloads, closed tabs, a dead server, wiped storage, crashes."""

import json
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests import asking
from tests.browser.chromium import HOST
from tests.browser.conftest import address_of
from tests.browser.desk import Desk
from tests.browser.killing import kill_browser_of
from tests.browser.stage_page import StagePage, new_run
from tests.owner import COOKIES, owner_cookies
from tests.thorough import few

WIPE_LOCAL = "localStorage.clear()"
WIPE_INDEXED = """() => new Promise((resolve) => {
  const opened = indexedDB.open("ninefifty-marks");
  opened.onsuccess = () => {
    const change = opened.result.transaction("events", "readwrite");
    change.objectStore("events").clear();
    change.oncomplete = () => { opened.result.close(); resolve(); };
  };
})"""
HOW_TO_WIPE = {"localStorage": WIPE_LOCAL, "IndexedDB": WIPE_INDEXED}
WIPES = tuple(HOW_TO_WIPE)
IN_INDEXED = """() => new Promise((resolve) => {
  const opened = indexedDB.open("ninefifty-marks");
  opened.onsuccess = () => {
    const all = opened.result.transaction("events").objectStore("events").getAll();
    all.onsuccess = () => {
      opened.result.close();
      resolve(all.result.map((each) => each.event.kind));
    };
  };
})"""
IN_LOCAL = """() => Object.keys(localStorage)
  .filter((key) => key.startsWith("ninefifty.event."))
  .map((key) => JSON.parse(localStorage[key]).kind)"""


@pytest.fixture
def cut_off(context):
    """A network over which pages come but marks do not get through."""
    context.route("**/api/**", lambda route: route.abort())

    def restore():
        context.unroute("**/api/**")

    return restore


def kinds(events):
    return [event["kind"] for event in events]


@pytest.mark.thorough
def test_page_that_ran_through_a_reload_tells_the_server_so(stage, server):
    stage.mark_two()
    stage.reload()
    stage.wait_until_sent()
    assert kinds(stage.server_events(server.url)) == ["start", "done", "done", "resume"]


@pytest.mark.thorough
def test_server_dead_while_marking_gets_everything_once_when_it_is_back(page, empty_server):
    with Desk(empty_server.url) as desk:
        stage = StagePage(page, address_of(empty_server), new_run(desk)).open()
    stage.press("PageDown")
    stage.wait_until_sent()
    empty_server.kill()
    for seconds in (30, 60, 90):
        stage.wait(seconds)
        stage.press("PageDown")
    assert "3 marks not yet on the server" in stage.text("sync")
    empty_server.start()
    stage.wait_until_sent()
    events = stage.server_events(empty_server.url)
    assert kinds(events) == ["start", "done", "done", "done"]
    assert len({event["id"] for event in events}) == 4


def test_run_is_finished_without_a_server_and_arrives_later(page, empty_server):
    with Desk(empty_server.url) as desk:
        stage = StagePage(page, address_of(empty_server), new_run(desk)).open()
    empty_server.kill()
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    assert stage.view == "closed"
    assert "5 marks not yet on the server" in stage.text("closed-sync")
    empty_server.start()
    stage.wait_until_sent()
    assert stage.server_state(empty_server.url).status == "finished"


@pytest.mark.parametrize("wiped", few(WIPES))
def test_either_store_alone_brings_the_run_back(stage, server, cut_off, wiped):
    stage.mark_two()
    stage.page.evaluate(HOW_TO_WIPE[wiped])
    stage.reload()
    assert (stage.view, stage.text("now-name")) == ("running", "Build")
    cut_off()
    stage.wait_until_sent()
    assert kinds(stage.server_events(server.url)) == ["start", "done", "done", "resume"]


@pytest.mark.parametrize("wiped", few(reversed(WIPES)))
def test_store_that_lost_marks_is_given_them_again_by_the_other(stage, cut_off, wiped):
    stage.mark_two()
    stage.page.evaluate(HOW_TO_WIPE[wiped])
    stage.reload()
    expected = ["done", "done", "resume", "start"]
    assert sorted(stage.page.evaluate(IN_LOCAL)) == expected
    assert sorted(stage.page.evaluate(IN_INDEXED)) == expected


def test_with_both_stores_wiped_the_server_brings_the_run_back(stage):
    stage.mark_two()
    stage.wait_until_sent()
    stage.page.evaluate(WIPE_LOCAL)
    stage.page.evaluate(WIPE_INDEXED)
    stage.reload()
    assert stage.text("now-name") == "Build"


# Keeps each write to IndexedDB open for 20 ms, and notes at each change of the segment on the
# screen what each store holds by then. The screen waits for a slow disk, but not for ever.
SLOW_STORE = """() => {
  let onDisk = 0;
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value) {
    const until = performance.now() + 20;
    const goOn = () => { if (performance.now() < until) this.count().onsuccess = goOn; };
    this.transaction.addEventListener("complete", () => { onDisk += 1; });
    goOn();
    return put.call(this, value);
  };
  window.found = [];
  const shown = document.querySelector("[data-part=now-name]");
  new MutationObserver(() => {
    const marks = Object.keys(localStorage)
      .filter((key) => key.startsWith("ninefifty.event."))
      .map((key) => JSON.parse(localStorage[key]).mono_ms);
    const waitedMs = performance.now() - Math.max(...marks);
    found.push([shown.textContent, marks.length, onDisk === marks.length || waitedMs >= 150]);
  }).observe(shown, { childList: true });
}"""


def await_nothing_left(page):
    """Wait until the device keeps no mark any more: all are on the server."""
    for _ in range(100):
        kept = page.evaluate(IN_LOCAL) + page.evaluate(IN_INDEXED)
        if not kept:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"the device still keeps {kept}")


def test_mark_is_in_both_stores_before_the_screen_shows_it(page, base_url, desk, cut_off):
    stage = StagePage(page, base_url, new_run(desk)).open(driven=False)
    page.evaluate(SLOW_STORE)
    for _ in range(3):
        page.keyboard.press("PageDown")
        page.wait_for_timeout(400)
    page.wait_for_function("found.length === 3")
    assert page.evaluate("found") == [["Grind", 1, True], ["Brew", 2, True], ["Build", 3, True]]
    assert stage.view == "running"


def test_marks_are_deleted_from_the_device_only_when_the_run_is_over_and_on_the_server(
    stage, cut_off
):
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    assert len(stage.page.evaluate(IN_LOCAL)) == len(stage.page.evaluate(IN_INDEXED)) == 5
    cut_off()
    stage.wait_until_sent()
    stage.catch_up()
    await_nothing_left(stage.page)


def test_without_any_storage_the_person_is_told_and_the_marks_still_arrive(
    page, base_url, desk, server, cut_off
):
    page.add_init_script(
        """Storage.prototype.setItem = () => { throw new DOMException("full"); };
        IDBFactory.prototype.open = () => { throw new DOMException("none"); };"""
    )
    stage = StagePage(page, base_url, new_run(desk)).open()
    stage.mark_two()
    assert "cannot store marks" in stage.text("notice")
    cut_off()
    stage.wait_until_sent()
    assert kinds(stage.server_events(server.url)) == ["start", "done", "done"]


@pytest.mark.thorough
def test_same_batch_sent_twice_changes_nothing(stage, server, context):
    bodies = []

    def note(request):
        if request.url.endswith("/events"):
            bodies.append(request.post_data)

    context.on("request", note)
    stage.mark_two()
    stage.wait_until_sent()
    before = stage.server_events(server.url)
    for body in filter(None, bodies):
        answer = send_again(server, stage.run_id, body)
        sent = [event["id"] for event in json.loads(body)["events"]]
        assert sorted(answer.json()["accepted"]) == sorted(sent)
    assert stage.server_events(server.url) == before


def send_again(server, run_id, body):
    url = f"{server.url}/api/runs/{run_id}/events"
    return asking.post(url, content=body, headers={"Origin": server.url}, cookies=COOKIES)


def test_answer_that_is_lost_is_asked_for_again_and_counted_once(stage, server, context):
    lost = []

    def swallow_first(route):
        if lost:
            route.continue_()
        else:
            lost.append(send_again(server, stage.run_id, route.request.post_data))
            route.abort()

    context.route("**/events", swallow_first)
    stage.mark_two()
    stage.wait_until_sent()
    assert lost[0].status_code == 200
    assert kinds(stage.server_events(server.url)) == ["start", "done", "done"]


def test_page_whose_renderer_crashes_goes_on_in_a_new_tab(stage, context, base_url, cut_off):
    stage.mark_two()
    with pytest.raises(Exception, match="crash"):
        stage.page.goto("chrome://crash")
    stage.page.close()
    page = context.new_page()
    again = StagePage(page, base_url, stage.run_id).open()
    again.wait(0.1)
    assert again.text("now-name") == "Build"


def test_browser_killed_outright_has_kept_the_marks_of_a_moment_ago(
    browser_type, browser_type_launch_args, base_url, desk, server, tmp_path
):
    profile = tmp_path / "profile"
    run_id = new_run(desk)

    def launch():
        context = browser_type.launch_persistent_context(profile, **browser_type_launch_args)
        context.add_cookies(owner_cookies(HOST))
        context.route("**/api/**", lambda route: route.abort())
        return context, StagePage(context.pages[0], base_url, run_id).open(driven=False)

    context, stage = launch()
    for _ in range(3):
        stage.page.keyboard.press("PageDown")
        stage.page.wait_for_timeout(400)
    kill_browser_of(profile)
    context, stage = launch()
    assert stage.text("now-name") == "Build"
    context.unroute("**/api/**")
    expect(stage.part("sync")).to_contain_text("all marks")
    for _ in range(2):
        stage.page.wait_for_timeout(400)
        stage.page.keyboard.press("PageDown")
    expect(stage.part("closed-sync")).to_contain_text("all marks")
    events = sorted(stage.server_events(server.url), key=lambda event: event["seq"])
    assert kinds(events) == ["start", "done", "done", "resume", "done", "finish"]
    context.close()


def test_deleted_run_is_told_plainly_and_its_marks_can_be_downloaded(stage, desk, server, tmp_path):
    stage.mark_two()
    stage.wait_until_sent()
    desk.send_form(f"/runs/{stage.run_id}/delete")
    stage.wait(60)
    stage.press("PageDown")
    assert "This run was deleted on the server" in stage.text("notice")
    with stage.page.expect_download() as download:
        stage.page.get_by_role("button", name="Download the marks").click()
    saved = json.loads(Path(shutil.copy(download.value.path(), tmp_path / "run.json")).read_text())
    assert (saved["run_id"], kinds(saved["events"])) == (
        stage.run_id,
        ["start", "done", "done", "done"],
    )
    assert stage.text("now-name") == "Serve"


def test_mark_the_server_refuses_holds_up_no_other(stage, server, context):
    network = []

    def refuse_incidents(route):
        if not network:
            route.abort()
        elif '"incident"' in (route.request.post_data or ""):
            error = {"code": "invalid", "message": "No such incident.", "faults": []}
            route.fulfill(status=422, json={"error": error})
        else:
            route.continue_()

    context.route("**/events", refuse_incidents)
    stage.press("PageDown")
    stage.press("i")
    stage.press("1")
    stage.wait(30)
    stage.press("PageDown")
    network.append("back")
    stage.wait(10)
    stage.wait(1)
    assert "The server refused 1 mark: No such incident." in stage.text("notice")
    assert kinds(stage.server_events(server.url)) == ["start", "done"]


@pytest.mark.thorough
def test_where_device_and_server_differ_the_server_stands(stage, server):
    stage.mark_two()
    stage.wait_until_sent()
    (start, first, second) = stage.server_events(server.url)
    changed = first | {"mono_ms": first["mono_ms"] + 500}
    answer = send_again(server, stage.run_id, json.dumps({"events": [changed]}))
    assert answer.json()["differing"] == [first["id"]]
    assert stage.server_events(server.url) == [start, first, second]


def test_marks_of_a_run_left_behind_are_sent_from_the_next_stage(
    stage, context, base_url, desk, server, cut_off
):
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.page.close()
    cut_off()
    page = context.new_page()
    StagePage(page, base_url, new_run(desk)).open()
    await_nothing_left(page)
    assert stage_status(server, stage.run_id) == ["start", "done", "done", "done", "finish"]


@pytest.mark.thorough
def test_marks_left_behind_are_sent_from_any_page_of_the_app(
    stage, context, base_url, server, cut_off
):
    stage.mark_two()
    stage.page.close()
    cut_off()
    page = context.new_page()
    with page.expect_response("**/api/runs/*/events"):
        page.goto(base_url)
    assert stage_status(server, stage.run_id) == ["start", "done", "done"]
    # The run may still go on in another tab: what it needs to start again stays on the device.
    assert len(page.evaluate(IN_LOCAL)) == 3


def stage_status(server, run_id):
    return kinds(asking.get(f"{server.url}/api/runs/{run_id}/events").json()["events"])


def test_second_tab_of_the_same_run_follows_the_first(stage, context, base_url, cut_off):
    stage.press("PageDown")
    page = context.new_page()
    other = StagePage(page, base_url, stage.run_id).open()
    stage.wait(30)
    stage.press("PageDown")
    other.wait(0.5)
    assert other.text("now-name") == "Brew"


@pytest.mark.thorough
def test_old_copy_of_the_page_does_not_start_a_finished_run_again(stage, context, base_url):
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.wait_until_sent()
    stage.page.close()
    again = StagePage(context.new_page(), base_url, stage.run_id).open()
    # The browser took the page from its cache: it knows of no mark, and none is left here.
    assert again.data["events"] == again.page.evaluate(IN_LOCAL) == []
    assert again.view == "closed"
