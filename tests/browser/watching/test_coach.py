"""A coach watches a run on a second device, in a second browser context; time is real."""

import re
import time

import pytest
from playwright.sync_api import expect

from tests.browser.coach_page import PHONE, CoachPage, code_for
from tests.browser.conftest import address_of
from tests.browser.desk import Desk
from tests.browser.stage_page import StagePage, new_run

SLOW_MS = 15_000
"""Long enough for a stream to be made anew on a machine with other things to do."""


@pytest.fixture
def run_id(desk):
    return new_run(desk, process=True)


@pytest.fixture
def stage(new_context, base_url, run_id):
    """The presenter's page, its clock undriven."""
    return StagePage(new_context().new_page(), base_url, run_id).open(driven=False)


@pytest.fixture
def coach(new_context, base_url, desk, run_id):
    page = new_context(**PHONE).new_page()
    return CoachPage(page, base_url, run_id).join(code_for(desk, run_id))


def mark(stage):
    """The presenter goes on; twice within 300 ms would be one press."""
    stage.page.wait_for_timeout(350)
    stage.page.keyboard.press("PageDown")


def remarks_on_server(desk, run_id, number=1):
    """The remarks that the server has, once there are so many; any more come with them."""
    give_up = time.monotonic() + SLOW_MS / 1000
    while True:
        events = desk.get(f"/api/runs/{run_id}/events").json()["events"]
        remarks = [event for event in events if event.get("who")]
        if len(remarks) >= number or time.monotonic() > give_up:
            return remarks
        time.sleep(0.1)


# Following


@pytest.mark.thorough
def test_coach_waits_with_the_presenter_and_follows_from_the_start(stage, coach):
    expect(coach.page.get_by_text("Waiting for the start.")).to_be_visible()
    expect(coach.part("link")).to_have_text("Live")
    mark(stage)
    expect(coach.part("now-name")).to_have_text("Grind")
    mark(stage)
    expect(coach.part("now-name")).to_have_text("Brew")
    expect(coach.part("next-name")).to_have_text("Build")
    expect(coach.part("processes")).to_contain_text("ready in")


def stage_seconds(stage):
    """What the presenter's clock shows."""
    minutes, seconds = map(int, stage.text("elapsed").split(":"))
    return minutes * 60 + seconds


def test_coach_sees_the_presenters_clock_to_a_second(stage, coach):
    mark(stage)
    expect(coach.part("elapsed")).to_have_text(re.compile(r"^\d:\d\d$"))
    stage.page.wait_for_timeout(2500)
    before, told, after = stage_seconds(stage), coach.seconds(), stage_seconds(stage)
    assert before - 1 <= told <= after + 1


@pytest.mark.thorough
def test_the_clock_is_the_presenters_though_the_coachs_device_is_a_year_off(
    stage, new_context, base_url, desk, run_id
):
    page = new_context(**PHONE).new_page()
    page.clock.set_system_time("2027-11-25T12:00:00")
    coach = CoachPage(page, base_url, run_id).join(code_for(desk, run_id))
    mark(stage)
    coach.part("elapsed").wait_for()
    stage.page.wait_for_timeout(1500)
    assert 1 <= coach.seconds() <= 5
    coach.write("On time")
    expect(coach.part("remarks")).to_contain_text("On time")
    (note,) = remarks_on_server(desk, run_id)
    assert 1000 <= note["at_ms"] <= 8000


def test_presenter_sees_how_many_watch_and_nothing_else(stage, coach, desk, run_id):
    mark(stage)
    expect(stage.part("watching")).to_have_text("1 watching", timeout=SLOW_MS)
    expect(stage.page.locator("body")).to_contain_text("all marks on the server", timeout=SLOW_MS)
    before = stage.page.locator("body").inner_text()
    coach.incident("Spill")
    coach.write("Slower")
    coach.part("call").click()
    expect(coach.page.locator(".remark")).to_have_count(3)
    stage.page.wait_for_timeout(500)
    after = stage.page.locator("body").inner_text()
    assert re.sub(r"\d", "", after) == re.sub(r"\d", "", before)
    assert stage.part("undo").is_disabled()
    coach.page.close()
    expect(stage.part("watching")).to_be_hidden(timeout=SLOW_MS)


def test_while_the_presenter_is_not_heard_only_the_clock_goes_on(stage, coach):
    mark(stage)
    expect(coach.part("now-name")).to_have_text("Grind")
    stage.page.context.set_offline(True)
    expect(coach.part("link")).to_contain_text("No word from the stage", timeout=SLOW_MS)
    was, figures = coach.seconds(), coach.figures()
    as_of_s = 600 - figures["slot"]
    expect(coach.part("link")).to_contain_text(f"as of 0:{as_of_s:02}")
    coach.page.wait_for_function(
        "was => document.querySelector('[data-part=elapsed]').textContent !== was",
        arg=coach.part("elapsed").inner_text(),
    )
    assert coach.seconds() > was
    assert coach.figures() == figures
    stage.page.context.set_offline(False)
    expect(coach.part("link")).to_have_text("Live", timeout=SLOW_MS)


@pytest.mark.thorough
def test_the_page_says_that_it_is_there_as_long_as_it_is(coach):
    beats = re.compile(r"/watching\?device=")
    with coach.page.expect_response(beats, timeout=SLOW_MS) as told:
        pass
    assert (told.value.request.method, told.value.json()) == ("POST", {"watching": 1})


@pytest.mark.thorough
def test_on_a_phone_note_and_call_are_at_hand_wherever_the_page_is_scrolled(
    new_context, base_url, desk
):
    run_id = desk.send_form("/routines/routine-demo/rehearse").split("/")[2]
    stage = StagePage(new_context().new_page(), base_url, run_id).open(driven=False)
    page = new_context(viewport={"width": 360, "height": 640}, has_touch=True).new_page()
    coach = CoachPage(page, base_url, run_id).join(code_for(desk, run_id))
    mark(stage)
    expect(coach.part("call")).to_be_visible()
    for scrolled in (0, 300, 10_000):
        page.evaluate("y => scrollTo(0, y)", scrolled)
        assert page.locator(".top").bounding_box()["height"] < 120
        for tool in (coach.part("note"), coach.part("call"), coach.part("elapsed")):
            expect(tool).to_be_in_viewport(ratio=1)
    coach.incident("Spill")
    expect(coach.part("incidents")).to_be_hidden()
    assert coach.remarks() == ["Spill"]


# Remarking


def test_coach_ticks_with_one_touch_changes_it_and_takes_it_back(new_context, base_url, desk):
    run_id = desk.send_form("/routines/routine-demo/rehearse").split("/")[2]
    stage = StagePage(new_context().new_page(), base_url, run_id).open(driven=False)
    page = new_context(**PHONE).new_page()
    coach = CoachPage(page, base_url, run_id).join(code_for(desk, run_id))
    for _ in range(3):
        mark(stage)
    expect(coach.part("now-name")).to_have_text("Brew the coffee")
    row = coach.page.locator(".claim", has=coach.page.get_by_text("apricot", exact=True))
    coach.tick("apricot", "Heard")
    expect(row.get_by_role("button", name="Heard")).to_have_attribute("aria-pressed", "true")
    coach.tick("apricot", "Missed")
    expect(row.get_by_role("button", name="Heard")).to_have_attribute("aria-pressed", "false")
    expect(coach.part("tally")).to_have_text(re.compile("^· 1 of .*: 1 missed$"))
    coach.tick("apricot", "Missed")
    expect(coach.part("tally")).to_have_text(re.compile("^· 1 of .*: 1 heard$"))
    coach.page.get_by_role("button", name="Undo").click()
    expect(coach.part("tally")).to_have_text(re.compile(r"^· 0 of \d+$"))
    sent = remarks_on_server(desk, run_id, 4)
    assert [each["kind"] for each in sent] == ["claim", "claim", "retract", "retract"]


def test_a_note_belongs_to_the_moment_its_first_letter_was_typed(stage, coach, desk, run_id):
    mark(stage)
    expect(coach.part("now-name")).to_have_text("Grind")
    coach.part("note").press_sequentially("Look up")
    expect(coach.part("note-moment")).to_contain_text("Grind")
    mark(stage)
    expect(coach.part("now-name")).to_have_text("Brew")
    coach.page.reload()
    expect(coach.part("note")).to_have_value("Look up")
    coach.page.get_by_role("button", name="Add").click()
    expect(coach.part("remarks")).to_contain_text("Grind · Ada")
    expect(coach.part("note")).to_have_value("")


def test_typing_a_note_leaves_the_words_to_listen_for_in_sight(stage, coach):
    mark(stage)
    coach.page.set_viewport_size({"width": 360, "height": 400})
    expect(coach.part("now-name")).to_have_text("Grind")
    assert coach.page.evaluate("document.documentElement.scrollHeight") > 500
    coach.part("note").press_sequentially("Look up")
    assert coach.page.evaluate("scrollY") == 0


@pytest.mark.thorough
def test_what_a_coach_calls_out_is_shown_to_them_large_and_logged(stage, coach):
    mark(stage)
    expect(coach.part("call-words")).to_have_text(re.compile(r"^\d:\d\d left$"))
    coach.part("call").click()
    expect(coach.part("say-words")).to_have_text(re.compile(r"^\d:\d\d left$"))
    assert coach.remarks()[0].startswith("Time call: ")


def test_two_coaches_see_each_others_remarks_and_take_back_only_their_own(
    stage, coach, new_context, base_url, desk, run_id
):
    other = CoachPage(new_context(**PHONE).new_page(), base_url, run_id)
    other.join(code_for(desk, run_id), "Ben")
    mark(stage)
    for page, words in ((coach, "From Ada"), (other, "From Ben")):
        expect(page.part("now-name")).to_have_text("Grind")
        page.write(words)
    expect(coach.page.locator(".remark")).to_have_count(2)
    assert set(coach.remarks()) == {"From Ada", "From Ben"}
    expect(coach.page.get_by_role("button", name=re.compile("Take back"))).to_have_count(1)
    expect(stage.part("watching")).to_have_text("2 watching", timeout=SLOW_MS)


def test_after_the_run_points_are_given_and_stand_on_its_page(new_context, base_url, desk):
    run_id = desk.send_form("/routines/routine-demo/rehearse").split("/")[2]
    stage = StagePage(new_context().new_page(), base_url, run_id).open(driven=False)
    page = new_context(**PHONE).new_page()
    coach = CoachPage(page, base_url, run_id).join(code_for(desk, run_id))
    mark(stage)
    stage.more("Finish")
    stage.page.get_by_role("dialog").get_by_role("button", name="Finish").click()
    coach.page.get_by_text("Remarks so far").scroll_into_view_if_needed()
    coach.page.get_by_role("link", name="Points").click()
    points = coach.page.get_by_label("Flow of the work (0 to 10)")
    expect(points).to_be_in_viewport()
    points.fill("12")
    points.press("Tab")
    expect(coach.page.get_by_text("Give a number from 0 to 10.")).to_be_visible()
    points.fill("8,5")
    points.press("Tab")
    expect(coach.part("points-sum")).to_have_text("8.5 of 35")
    for _ in range(200):
        if '"score"' in desk.get(f"/api/runs/{run_id}/events").text:
            break
        coach.page.wait_for_timeout(50)
    stage.page.goto(f"{base_url}/runs/{run_id}")
    row = stage.page.locator("table.points tr", has_text="Flow of the work")
    expect(row.locator("td").last).to_have_text("8.5")
    table = stage.page.locator("table.points")
    assert table.evaluate("table => table.scrollWidth <= table.parentElement.clientWidth")


# The network goes, the server dies


@pytest.fixture
def own(empty_server, new_context):
    """Presenter and coach on a server of the test's own, the run started."""
    address = address_of(empty_server)
    with Desk(empty_server.url) as desk:
        run_id = new_run(desk)
        stage = StagePage(new_context().new_page(), address, run_id).open(driven=False)
        coach = CoachPage(new_context(**PHONE).new_page(), address, run_id)
        coach.join(code_for(desk, run_id))
        mark(stage)
        expect(coach.part("now-name")).to_have_text("Grind")
        yield stage, coach, desk, run_id


def test_coach_catches_up_after_the_server_died_and_nothing_is_lost_or_doubled(own, empty_server):
    stage, coach, desk, run_id = own
    coach.write("Before")
    expect(coach.part("link")).to_have_text("Live")
    empty_server.kill()
    expect(coach.part("link")).to_contain_text("No connection", timeout=SLOW_MS)
    mark(stage)
    mark(stage)
    # The clocks of the two agree to much less.
    coach.page.wait_for_timeout(1000)
    for number in range(5):
        coach.write(f"While away {number}")
    latest = coach.page.locator(".remark").first
    expect(latest).to_contain_text("Grind · Ada")
    expect(coach.part("link")).to_contain_text("5 not yet sent")
    empty_server.start()
    expect(coach.part("now-name")).to_have_text("Build", timeout=SLOW_MS)
    expect(latest).to_contain_text("Build · Ada")
    expect(coach.part("link")).to_have_text("Live", timeout=SLOW_MS)
    written = ["Before", *(f"While away {number}" for number in range(5))]
    assert sorted(coach.remarks()) == sorted(written)
    assert [each["text"] for each in remarks_on_server(desk, run_id, 6)] == written
    expect(stage.part("sync")).to_have_text("all marks on the server", timeout=SLOW_MS)


def test_what_a_coach_wrote_while_cut_off_survives_the_page_and_arrives_once(own, empty_server):
    _, coach, desk, run_id = own
    empty_server.kill()
    coach.write("Kept")
    coach.page.close(run_before_unload=False)
    empty_server.start()
    again = CoachPage(coach.page.context.new_page(), address_of(empty_server), run_id)
    again.page.goto(f"{address_of(empty_server)}/runs/{run_id}/watch")
    expect(again.part("remarks")).to_contain_text("Kept")
    expect(again.part("link")).to_have_text("Live", timeout=SLOW_MS)
    again.write("And then")
    sent = remarks_on_server(desk, run_id, 2)
    assert [each["text"] for each in sent] == ["Kept", "And then"]
    assert [each["seq"] for each in sent] == [0, 1]


@pytest.mark.thorough
def test_remarks_left_on_a_device_are_sent_from_any_page(own, empty_server):
    _, coach, desk, run_id = own
    empty_server.kill()
    coach.write("Left behind")
    context = coach.page.context
    coach.page.close()
    empty_server.start()
    context.new_page().goto(address_of(empty_server))
    assert [each["text"] for each in remarks_on_server(desk, run_id)] == ["Left behind"]


@pytest.mark.thorough
def test_one_device_that_does_both_keeps_marks_and_remarks_apart(own, empty_server):
    stage, _, desk, run_id = own
    both = CoachPage(stage.page.context.new_page(), address_of(empty_server), run_id)
    both.join(code_for(desk, run_id), "Also me")
    expect(both.part("now-name")).to_have_text("Grind")
    empty_server.kill()
    both.write("Note to myself")
    mark(stage)
    expect(stage.part("sync")).to_have_text("1 mark not yet on the server")
    empty_server.start()
    expect(stage.part("sync")).to_have_text("all marks on the server", timeout=SLOW_MS)
    expect(both.part("link")).to_have_text("Live", timeout=SLOW_MS)
    assert [each["text"] for each in remarks_on_server(desk, run_id)] == ["Note to myself"]


def test_coach_is_told_when_the_run_is_closed_to_watchers(own):
    _, coach, desk, run_id = own
    desk.post(f"/runs/{run_id}/watchers/close", data={"sure": "yes"})
    expect(coach.part("link")).to_contain_text("no longer open to you", timeout=SLOW_MS)
    expect(coach.page.get_by_role("link", name="Type a code")).to_be_visible()


def test_stage_marks_as_before_while_the_server_never_answers_the_pulse(own):
    stage, _, _, _ = own
    stage.page.context.route("**/pulse", lambda route: None)
    mark(stage)
    expect(stage.part("now-name")).to_have_text("Brew")
    expect(stage.part("sync")).to_have_text("all marks on the server")
    stage.page.context.unroute_all(behavior="ignoreErrors")
