"""Forms keep their place: what was saved or refused is in view, and nothing typed goes unasked."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.plan_page import delete, edit, line

SEGMENTS = {f"Part {number}": "0:20" for number in range(1, 15)}


@pytest.fixture
def plan(page, desk):
    """The plan page of a routine that is longer than the screen."""
    page.goto(f"/routines/{desk.routine('Long set', SEGMENTS)}/plan")
    return page


def answered(page, way):
    question = page.get_by_role("dialog", name="What you typed here is not saved yet.")
    expect(question).to_be_visible()
    question.get_by_role("button", name=way).click()
    expect(question).to_be_hidden()


def test_a_saved_row_is_in_view_and_marked(plan):
    # The mark goes with its animation, so it is heard rather than looked for.
    plan.evaluate(
        "addEventListener('animationstart', (event) => {"
        " if (event.animationName === 'just-saved') window.marked = event.target.id; })"
    )
    form = edit(plan, "Part 9")
    form.get_by_label("Likely").fill("0:35")
    form.get_by_role("button", name="Save").click()
    expect(line(plan, "Part 9").locator("a")).to_be_focused()
    expect(line(plan, "Part 9")).to_be_in_viewport(ratio=1)
    assert plan.evaluate("window.marked") == line(plan, "Part 9").get_attribute("id")
    plan.wait_for_url("**/plan")


def test_the_first_refused_field_has_the_focus_and_the_button_says_how_many(plan):
    form = edit(plan, "Part 9")
    form.get_by_label("Name").fill("")
    form.get_by_label("Likely").fill("soon")
    form.get_by_role("button", name="Save").click()
    expect(plan.get_by_text("2 fields need a look")).to_be_attached()
    expect(plan.get_by_label("Name", exact=True)).to_be_focused()
    expect(plan.get_by_label("Name", exact=True)).to_be_in_viewport()


def test_back_closes_a_form_and_asks_before_it_drops_what_was_typed(plan):
    start = plan.url
    form = edit(plan, "Part 2")
    expect(plan).to_have_url(re.compile("edit=segment-"))
    form.get_by_label("Name").fill("Something else")
    plan.evaluate("history.back()")
    answered(plan, "Keep writing")
    expect(plan).to_have_url(re.compile("edit=segment-"))
    expect(form.get_by_label("Name")).to_have_value("Something else")
    plan.evaluate("history.back()")
    answered(plan, "Drop it")
    expect(form).to_have_count(0)
    expect(plan).to_have_url(start)


@pytest.mark.thorough
def test_escape_and_other_buttons_ask_before_they_drop_what_was_typed(plan):
    form = edit(plan, "Part 2")
    form.get_by_label("Name").fill("Something else")
    plan.keyboard.press("Escape")
    answered(plan, "Keep writing")
    line(plan, "Part 3").locator("a").click()
    answered(plan, "Keep writing")
    expect(line(plan, "Part 3")).to_have_count(1)
    plan.get_by_role("link", name="Runs", exact=True).click()
    answered(plan, "Drop it")
    plan.wait_for_url("**/runs")


@pytest.mark.thorough
def test_a_form_that_nobody_typed_in_closes_unasked(plan):
    edit(plan, "Part 2")
    plan.go_back()
    expect(line(plan, "Part 2").locator("a")).to_be_focused()
    plan.go_forward()
    expect(plan.get_by_role("form", name="Edit Part 2")).to_be_visible()


def test_undo_stays_at_hand_and_moves_nothing(plan):
    plan.set_viewport_size({"width": 1000, "height": 400})
    delete(plan, "Part 13")
    expect(line(plan, "Part 13")).to_have_count(0)
    before = line(plan, "Part 12").bounding_box()["y"]
    plan.get_by_role("button", name="Undo").click()
    expect(line(plan, "Part 13")).to_be_in_viewport()
    assert abs(line(plan, "Part 12").bounding_box()["y"] - before) < 2


def test_a_form_sent_twice_in_a_row_is_saved_once(plan):
    form = plan.get_by_role("form", name="Add a segment")
    form.get_by_label("New segment").fill("Bow")
    form.get_by_label("Duration").fill("0:10")
    form.evaluate("(form) => { form.requestSubmit(); form.requestSubmit(); }")
    expect(line(plan, "Bow")).to_have_count(1)
    plan.wait_for_load_state("networkidle")
    plan.reload()
    expect(line(plan, "Bow")).to_have_count(1)


# Where the middle of each thing is, that thing itself is touched.
COVERED = """(found) => found.filter((each) => {
  const { x, y, width, height } = each.getBoundingClientRect();
  return !each.contains(document.elementFromPoint(x + width / 2, y + height / 2));
}).map((each) => each.textContent)"""


EDGES = """(found) => found.map((each) => each.getBoundingClientRect())
  .sort((one, other) => one.left - other.left).flatMap(({ left, right }) => [left, right])"""


def test_the_last_change_and_its_undo_cover_nothing_that_is_pressed(page, desk):
    path = f"/routines/{desk.routine('A rather long name for a set')}"
    for number in range(2):
        fields = {"name": f"The {number} part whose name goes on and on", "likely": "1:20"}
        said = "Good evening, judges. " * 60
        desk.send_form(f"{path}/segments/new", lane="both", said=said, **fields)
    desk.send_form(f"{path}/undo", back="plan")
    page.goto(f"{path}/plan")
    assert page.locator(".five a").evaluate_all(COVERED) == []
    for width in (744, 800):
        page.set_viewport_size({"width": width, "height": 1100})
        page.goto(f"{path}/plan")
        page.locator("a[id^=look-]").first.click()
        expect(page.locator("[data-panel]")).to_be_visible()
        pressed = page.locator(":is(.five, .history, .panel) :is(a, button):visible")
        assert pressed.evaluate_all(COVERED) == []
        edges = page.locator(".five a:last-child, .history button, .act").evaluate_all(EDGES)
        assert edges == sorted(edges)
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto(f"{path}/script")
    assert page.locator(".script-foot button").evaluate_all(COVERED) == []


@pytest.mark.parametrize("both", [False, True], ids=["undo", "undo and do again"])
@pytest.mark.parametrize("width", [360, 412, 641, 735])
def test_undo_and_do_again_stand_in_the_frame_of_a_phone(page, desk, width, both):
    path = f"/routines/{desk.routine('A rather long name for a set', {'Greet': '0:20'})}"
    if both:
        desk.send_form(f"{path}/segments/new", name="Pour", likely="0:30", lane="both")
        desk.send_form(f"{path}/undo", back="plan")
    page.set_viewport_size({"width": width, "height": 640})
    for place in ("script", "plan"):
        page.goto(f"{path}/{place}")
        frame = page.locator("header.frame").bounding_box()
        buttons = page.locator(".history button")
        assert buttons.count() == 1 + both
        for box in (each.bounding_box() for each in buttons.all()):
            assert box["y"] >= 0
            assert box["y"] + box["height"] <= frame["height"] + 1
            assert min(box["width"], box["height"]) >= 48
        in_frame = ".menu summary, .history button, .act"
        edges = page.locator(
            in_frame if width < 641 else f"{in_frame}, .five a:last-child"
        ).evaluate_all(EDGES)
        assert edges == sorted(edges)
        pressed = page.locator(":is(.frame, .history) :is(a, button, summary):visible")
        assert pressed.evaluate_all(COVERED) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_an_ingredient_of_the_library_fills_the_fields_at_once_but_not_those_typed_in(page):
    page.goto("/routines/routine-demo/drinks")
    page.locator(".part-row a", has_text="Pear brandy").click()
    form = page.get_by_role("form", name="Edit Pear brandy, unaged, 40 % vol")
    form.get_by_text("More:").click()
    form.get_by_label("Strength, % vol").fill("43")
    form.get_by_label("Take properties from the library").select_option("cream-liqueur-17")
    expect(form.get_by_role("status")).to_contain_text("Filled in as in the library")
    expect(form.get_by_label("Kind", exact=True)).to_have_value("liqueur")
    expect(form.get_by_label("Strength, % vol")).to_have_value("43")
    expect(form.get_by_label("milk, lactose included")).to_be_checked()
    expect(form.get_by_label("Label read")).not_to_be_checked()


def test_the_name_of_a_drink_stays_off_the_border_of_its_part_on_a_phone(page, desk):
    here = f"/routines/{desk.routine('Two drinks')}/drinks"
    for name in ("Smoke Orchard", "Harbour Light"):
        desk.send_form(f"{here}/new", name=name, serves="4")
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto(here)
    names = page.locator(".parts bdi").all()
    assert len(names) == 2
    for name in names:
        inner, outer = name.bounding_box(), name.locator("..").bounding_box()
        assert inner["x"] >= outer["x"] + 4
        assert inner["x"] + inner["width"] <= outer["x"] + outer["width"] - 4
