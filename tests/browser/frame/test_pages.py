"""The pages as a person goes through them: runs, rule sheets, lost addresses, without script."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.plan_page import delete, edit, line, look
from tests.thorough import few

SEGMENTS = {"Greet": "0:20", "Pour": "1:10", "Serve": "0:30"}
PLACES = ("Drinks", "Script", "Plan", "Prepare", "Runs", "Today")


@pytest.fixture
def routine_id(desk):
    return desk.routine("Evening set", SEGMENTS)


@pytest.fixture
def run(page, desk, routine_id):
    """The page of one run among three."""
    desk.paper_run(routine_id, "0:20", "1:10", "0:30", when="2026-03-01T12:00")
    desk.paper_run(routine_id, "0:22", "1:14", "0:30", when="2026-03-02T12:00")
    spill = {"what-1": "spill", "at-1": "1:00"}
    run_id = desk.paper_run(routine_id, "0:30", "2:00", "0:30", when="2026-03-03T12:00", **spill)
    page.goto(f"/runs/{run_id}")
    return page


@pytest.fixture
def plain_page(new_context, base_url):
    """A page of a browser that runs no script."""
    return new_context(java_script_enabled=False).new_page()


def cells(page, run_name):
    """The row of a run in the table of splits, a text for each cell."""
    return page.locator("table.splits tr", has_text=run_name).locator("td").all_inner_texts()


def counted(page):
    return int(page.locator("[data-figure^='runs-counted']").text_content())


def to_runs(page):
    page.get_by_role("link", name="All runs").click()
    page.wait_for_url("**/runs?open=*")


def to_figures(page):
    to_runs(page)
    page.get_by_role("link", name="In figures").click()
    page.wait_for_url("**/runs?show=figures")


@pytest.mark.thorough
def test_places_lead_through_a_routine_and_say_where_one_is(page, routine_id):
    page.goto(f"/routines/{routine_id}")
    titles = set()
    for place in PLACES:
        page.get_by_role("navigation", name="Places").get_by_role("link", name=place).click()
        expect(page.locator(".five [aria-current=page]")).to_have_text(place)
        titles.add(page.title())
    assert len(titles) == len(PLACES)


@pytest.mark.thorough
def test_skip_link_jumps_past_the_head_of_the_page(page):
    page.goto("/rules")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator("main :focus")).to_have_count(1)


@pytest.mark.parametrize(
    "path", few(["/nothing", "/routines/nobody/plan", "/runs/nobody/stage", "/rules/no"])
)
def test_unknown_address_is_answered_with_a_page_that_leads_back(page, path):
    answer = page.goto(path)
    assert answer.status == 404
    page.get_by_role("link", name="Back to the routines").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Routines")


@pytest.mark.thorough
def test_runs_stand_beside_each_other_with_their_splits_against_the_plan(run):
    to_figures(run)
    choice, total, to_slot, _, *splits = cells(run, "3 Mar 2026")
    assert choice == "Don’t count"
    assert (total, to_slot) == ("3:00", "7:00 inside")
    assert [split.split("\n") for split in splits][1] == ["2:00.0", "+50.0"]
    assert counted(run) == 3
    assert run.locator(".run-bed li").count() == 3


@pytest.mark.thorough
def test_run_is_named_and_noted(run):
    run.get_by_role("link", name="Name, notes, delete").click()
    run.get_by_label("Name of this run").fill("With <guests>")
    run.get_by_label("Notes").fill("Two lines\nof notes")
    run.get_by_role("button", name="Save", exact=True).click()
    expect(run.locator("h1")).to_contain_text("With <guests>")
    expect(run.locator(".own-notes p")).to_have_text("Two lines\nof notes")


@pytest.mark.thorough
def test_incident_gets_its_note_later(run):
    run.get_by_role("link", name="Note on: Spill").click()
    run.get_by_role("textbox", name="Note").fill("Jug too full.")
    run.get_by_role("button", name="Save note").click()
    expect(run.locator(".happened")).to_contain_text("Jug too full.")


@pytest.mark.thorough
def test_excluded_run_leaves_the_figures_and_says_so(run):
    run.get_by_role("button", name="Don’t count this run").click()
    run.get_by_role("button", name="Count this run").wait_for()
    to_figures(run)
    assert counted(run) == 2
    assert "not counted" in run.locator("table.splits tr.not-counted").inner_text()


@pytest.mark.thorough
def test_run_is_taken_out_in_the_list_and_back_by_the_same_button(run):
    to_figures(run)
    run.locator("table.splits tbody tr").first.get_by_role("button", name="Don’t count").click()
    back = run.locator("table.splits tr.not-counted").get_by_role("button", name="Count it")
    back.click()
    run.locator("table.splits tr.not-counted").wait_for(state="detached")
    assert counted(run) == 3


@pytest.mark.thorough
def test_deleted_run_comes_back_by_undo(run):
    run.get_by_role("link", name="Name, notes, delete").click()
    run.get_by_role("button", name="Delete this run").click()
    run.get_by_text("The run was deleted.").wait_for()
    assert counted(run) == 2
    run.get_by_role("button", name="Undo").click()
    expect(run.locator(".run-bed li")).to_have_count(3)


@pytest.mark.thorough
def test_runs_of_an_edited_routine_still_compare(run, routine_id):
    run.goto(f"/routines/{routine_id}/plan")
    delete(run, "Serve")
    edit(run, "Pour").get_by_label("Name").fill("Pour slowly")
    run.get_by_role("button", name="Save").click()
    line(run, "Pour slowly").wait_for()
    run.goto(f"/routines/{routine_id}/runs?show=figures")
    levels = run.locator("[aria-labelledby=levels-title] table")
    assert "1:14.0" in levels.locator("tr", has_text="2. Pour slowly").inner_text()
    assert "no longer in the plan" in levels.locator("tr", has_text="Serve").inner_text()


@pytest.mark.thorough
def test_run_from_paper_is_entered_by_the_clock(page, routine_id):
    page.goto(f"/routines/{routine_id}/runs/by-hand")
    for label, time in {"1. Greet": "0:21", "2. Pour": "1:32", "3. Serve": "2m2"}.items():
        page.get_by_label(label).fill(time)
    page.get_by_label("Name of this run").fill("On paper")
    page.get_by_role("button", name="Save the run").click()
    expect(page.locator("h1")).to_contain_text("On paper")
    page.get_by_text("every split").click()
    took = page.locator(
        "section[aria-labelledby=splits-title] tbody td:nth-child(3)"
    ).all_inner_texts()
    assert took == ["0:21.0", "1:11.0", "0:30.0"]


@pytest.mark.thorough
def test_wrong_time_from_paper_is_refused_and_the_others_are_kept(page, routine_id):
    page.goto(f"/routines/{routine_id}/runs/by-hand")
    page.get_by_label("how long each segment took").check()
    page.get_by_label("1. Greet").fill("0:21")
    page.get_by_label("2. Pour").fill("soon")
    page.get_by_role("button", name="Save the run").click()
    expect(page.get_by_label("2. Pour")).to_have_attribute("aria-invalid", "true")
    assert page.get_by_label("1. Greet").input_value() == "0:21"
    assert page.get_by_label("how long each segment took").is_checked()


@pytest.mark.thorough
def test_rule_sheet_in_use_cannot_be_deleted_a_spare_one_comes_back(page, desk):
    page.goto("/rules")
    page.get_by_role("button", name="Copy House rehearsal rules (invented)").click()
    page.get_by_role("button", name="Save").click()
    copy = page.locator(".card", has_text="House rehearsal rules (invented) (copy)")
    copy.get_by_role("button", name="Delete").click()
    expect(copy).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(copy).to_have_count(1)
    copy.get_by_role("button", name="Delete").click()
    page.get_by_role("button", name="Delete House rehearsal rules (invented)", exact=True).click()
    expect(page.locator("main")).to_contain_text(re.compile("is used by .*“Lamp and Orchard"))


def test_routine_is_built_changed_ordered_and_undone_without_script(plain_page):
    page = plain_page
    page.goto("/")
    page.get_by_label("Name", exact=True).fill("Plain set")
    page.get_by_role("button", name="Create routine").click()
    page.get_by_role("link", name="Plan", exact=True).click()
    for name, duration in SEGMENTS.items():
        page.get_by_label("New segment").fill(name)
        page.get_by_label("Duration").fill(duration)
        page.get_by_role("button", name="Add segment").click()
    look(page, "Serve").get_by_role("button", name="Earlier").click()
    expect(page.locator(".plan-row .name")).to_have_text(["Greet", "Serve", "Pour"])
    edit(page, "Serve").get_by_label("Name").fill("Serve all")
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".plan-row .name").nth(1)).to_have_text("Serve all")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".plan-row .name").nth(1)).to_have_text("Serve")


@pytest.mark.thorough
def test_refused_form_keeps_what_was_typed_without_script_too(plain_page, routine_id):
    plain_page.goto(f"/routines/{routine_id}/plan?edit=segment-new")
    plain_page.get_by_label("New segment").fill("Wait")
    plain_page.get_by_label("Duration").fill("a while")
    plain_page.get_by_role("button", name="Add segment").click()
    expect(plain_page.get_by_label("Duration")).to_have_attribute("aria-invalid", "true")
    assert plain_page.get_by_label("New segment").input_value() == "Wait"


@pytest.mark.thorough
def test_runs_are_read_named_and_deleted_without_script(plain_page, desk, routine_id):
    run_id = desk.paper_run(routine_id, "0:20", "1:10", "0:30")
    plain_page.goto(f"/runs/{run_id}")
    plain_page.get_by_role("link", name="Name, notes, delete").click()
    plain_page.get_by_label("Name of this run").fill("Plain")
    plain_page.get_by_role("button", name="Save", exact=True).click()
    expect(plain_page.locator("h1")).to_contain_text("Plain")
    plain_page.get_by_role("link", name="Name, notes, delete").click()
    plain_page.get_by_role("button", name="Delete this run").click()
    plain_page.get_by_role("button", name="Undo").click()
    expect(plain_page.locator(".run-bed")).to_contain_text("Plain")


def test_stage_says_that_it_needs_script(plain_page, desk, routine_id):
    run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
    plain_page.goto(f"/runs/{run_id}/stage")
    assert "needs JavaScript" in plain_page.locator("noscript").text_content()


def test_the_plan_stands_beneath_a_long_name_where_a_run_is_entered_by_hand(page, desk):
    routine_id = desk.routine("Names", {"Put the hibiscus into the ice to chill": "45"})
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto(f"/routines/{routine_id}/runs/by-hand")
    ends = page.locator(".time-line").first.evaluate(
        """(line) => {
          const words = document.createRange();
          words.selectNodeContents(line.querySelector("label").firstChild);
          const { bottom } = words.getBoundingClientRect();
          return [bottom, line.querySelector(":scope > .hint").getBoundingClientRect().top];
        }"""
    )
    # Boxes of text are higher than their letters: a line over another is 20 px into it.
    assert ends[0] - ends[1] < 6
