"""Editing in place: nothing typed is lost, the focus stays where the work is, all can be undone."""

import json

import pytest
from playwright.sync_api import expect

from tests.browser.dragging import drag_by_finger, middle
from tests.browser.plan_page import delete, edit, line, look, names
from tests.thorough import few

SEGMENTS = {"Greet": "0:20", "Grind": "0:30", "Brew": "1:00", "Serve": "0:45"}


@pytest.fixture
def plan(page, routine):
    """The plan page of a routine with four segments."""
    page.goto(f"{routine}/plan")
    return page


def expect_order(page, *expected):
    expect(page.locator(".plan-row:not(.of-process) .name")).to_have_text(list(expected))


def fault_of(field):
    """What is said to be wrong with a field, to eyes and to a screen reader alike."""
    expect(field).to_have_attribute("aria-invalid", "true")
    said = field.get_attribute("aria-describedby").split()
    return " ".join(field.page.locator(f"#{each}").inner_text() for each in said)


def test_refused_segment_keeps_what_was_typed_and_says_why_beside_the_field(plan):
    form = edit(plan, "Grind")
    form.get_by_label("Name").fill("")
    form.get_by_label("Likely").fill("soon")
    form.get_by_label("What is said").fill("A <b>bold</b> & fruity word")
    form.get_by_role("button", name="Save").click()
    assert "name" in fault_of(form.get_by_label("Name"))
    assert "1:15" in fault_of(form.get_by_label("Likely"))
    assert form.get_by_label("Likely").input_value() == "soon"
    assert form.get_by_label("What is said").input_value() == "A <b>bold</b> & fruity word"


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("low", "likely", "high", "field", "words"),
    [
        ("0:50", "0:30", "", "Lowest", "cannot be above the likely"),
        ("", "0:30", "0:10", "Highest", "cannot be below the likely"),
        ("", "-5", "", "Likely", "cannot be negative"),
        ("", "9999:00", "", "Likely", "longer than a day"),
        ("", "1:75", "", "Likely", "1:75"),
    ],
)
def test_impossible_durations_are_refused_beside_their_field(plan, low, likely, high, field, words):
    form = edit(plan, "Grind")
    for label, text in {"Lowest": low, "Likely": likely, "Highest": high}.items():
        form.get_by_label(label).fill(text)
    form.get_by_role("button", name="Save").click()
    assert words in fault_of(form.get_by_label(field))


@pytest.mark.thorough
def test_process_that_would_have_to_be_ready_before_it_starts_is_refused(plan):
    plan.get_by_role("link", name="Add a parallel process").click()
    form = plan.get_by_role("form", name="Parallel process")
    form.get_by_label("Name").fill("Drip")
    form.get_by_label("Likely").fill("2:00")
    form.get_by_label("Starts after").select_option("Serve")
    form.get_by_label("Must be ready before").select_option("Brew")
    form.get_by_role("button", name="Save").click()
    assert "before it starts" in fault_of(form.get_by_label("Must be ready before"))
    assert form.get_by_label("Starts after").locator("option:checked").inner_text() == "Serve"


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("amount", "words"), few([("some", "a number"), ("12", "12 of what"), ("12 mm", "“mm”")])
)
def test_amount_that_cannot_be_read_is_refused_beside_its_field(page, desk, routine, amount, words):
    desk.send_form(f"{routine}/drinks/new", name="Quiet Harbour", serves="2")
    page.goto(f"{routine}/drinks")
    page.get_by_role("link", name="Add a part").click()
    page.get_by_label("Amount").fill(amount)
    page.get_by_role("combobox", name="Ingredient", exact=True).fill("Honey")
    page.get_by_role("button", name="Add", exact=True).click()
    assert words in fault_of(page.get_by_label("Amount"))
    assert page.get_by_role("combobox", name="Ingredient", exact=True).input_value() == "Honey"


def test_escape_leaves_a_form_unsaved_and_goes_back_to_its_button(plan):
    edit(plan, "Grind").get_by_label("Name").fill("Something else")
    plan.keyboard.press("Escape")
    plan.get_by_role("button", name="Drop it").click()
    expect(line(plan, "Grind").locator("a")).to_be_focused()
    assert names(plan) == list(SEGMENTS)


@pytest.mark.thorough
def test_control_and_enter_saves_from_a_long_text_and_goes_back_to_its_button(plan):
    edit(plan, "Grind").get_by_label("What the hands do").fill("Eighteen grams.")
    plan.keyboard.press("Control+Enter")
    plan.locator("[data-panel]").wait_for(state="detached")
    expect(line(plan, "Grind").locator("a")).to_be_focused()


@pytest.mark.thorough
def test_form_opens_with_the_first_field_ready(plan):
    expect(edit(plan, "Brew").get_by_label("Name")).to_be_focused()


@pytest.mark.thorough
def test_a_segment_is_moved_from_beside_the_list_and_stays_open(plan):
    look(plan, "Brew")
    plan.get_by_role("button", name="Earlier").click()
    expect_order(plan, "Greet", "Brew", "Grind", "Serve")
    plan.get_by_role("button", name="Earlier").click()
    expect_order(plan, "Brew", "Greet", "Grind", "Serve")
    expect(plan.locator("[data-panel] h2")).to_contain_text("Brew")


def test_finger_drags_a_segment_to_another_place(new_context, routine):
    page = new_context(has_touch=True, viewport={"width": 800, "height": 1280}).new_page()
    page.goto(f"{routine}/plan")
    page.locator("[data-figure^='inside:']").wait_for()
    centres = [middle(page.locator(".block[data-segment]").nth(n)) for n in range(4)]
    drag_by_finger(page, centres[3], (centres[0][0] - 5, centres[0][1]))
    expect_order(page, "Serve", "Greet", "Grind", "Brew")


@pytest.mark.thorough
def test_process_whose_segments_change_places_is_not_turned_round(plan, routine, desk):
    ids = desk.ids(routine.split("/")[2])
    links = {"after": ids["Grind"], "before": ids["Serve"]}
    desk.send_form(f"{routine}/processes/new", name="Drip", likely="60", **links)
    plan.reload()
    panel = look(plan, "Serve")
    panel.get_by_role("button", name="Earlier").click()
    expect_order(plan, "Greet", "Grind", "Serve", "Brew")
    panel.get_by_role("button", name="Earlier").click()
    expect(plan.get_by_role("alert").filter(has_text="Drip")).to_be_visible()
    expect_order(plan, "Greet", "Grind", "Serve", "Brew")


def test_deleted_segment_comes_back_by_undo_and_goes_again_by_redo(plan):
    delete(plan, "Grind")
    expect_order(plan, "Greet", "Brew", "Serve")
    plan.get_by_role("button", name="Undo").click()
    expect_order(plan, *SEGMENTS)
    plan.get_by_role("button", name="Do again: deleted “Grind”").click()
    expect_order(plan, "Greet", "Brew", "Serve")


@pytest.mark.thorough
def test_form_opened_while_a_slow_answer_is_under_way_stays_open(plan):
    plan.route("**/delete", lambda route: (plan.wait_for_timeout(300), route.continue_()))
    edit(plan, "Serve")
    plan.get_by_role("button", name="Delete Serve").click()
    line(plan, "Grind").locator("a").click()
    expect_order(plan, "Greet", "Grind", "Brew")
    expect(plan.locator("[data-panel] h2")).to_have_text("2 Grind")


@pytest.mark.thorough
def test_deleted_routine_comes_back_by_undo(page, desk):
    routine_id = desk.routine("Short lived", SEGMENTS)
    page.goto("/")
    card = page.locator(f"#routine-{routine_id}")
    card.get_by_role("button", name="Delete Short lived").click()
    expect(card).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(card).to_have_count(1)


@pytest.mark.thorough
def test_copy_has_the_plan_and_lives_its_own_life(page, desk):
    routine_id = desk.routine("Original", SEGMENTS)
    page.goto(f"/routines/{routine_id}/details")
    page.get_by_role("button", name="Copy this routine").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Original (copy)")
    page.get_by_role("link", name="Plan").click()
    delete(page, "Grind")
    expect_order(page, "Greet", "Brew", "Serve")
    page.goto(f"/routines/{routine_id}/plan")
    expect_order(page, *SEGMENTS)


@pytest.mark.thorough
def test_exported_file_comes_in_again_as_an_equal_routine(page, desk, tmp_path):
    page.goto("/routines/routine-demo/details")
    with page.expect_download() as download:
        page.get_by_role("link", name="Export routine and runs").click()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    page.goto("/")
    page.get_by_text("Import a routine").click()
    page.get_by_label("A file exported here").set_input_files(file)
    page.get_by_role("button", name="Import", exact=True).click()
    page.wait_for_url("**/plan")
    again = desk.get(page.url.replace("/plan", "/export.json").split("/", 3)[3]).json()
    given = json.loads(file.read_text(encoding="utf-8"))
    assert file.name == "Lamp and Orchard (demo).json"
    assert without_ids(again) == without_ids(given)


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "file"),
        (b"not json", "file"),
        (b'{"kind": "shopping"}', "file"),
    ],
)
def test_file_that_is_not_ours_is_refused_beside_the_field(page, content, words):
    page.goto("/")
    page.get_by_text("Import a routine").click()
    field = page.get_by_label("A file exported here")
    field.set_input_files({"name": "x.json", "mimeType": "application/json", "buffer": content})
    page.get_by_role("button", name="Import").click()
    assert words in fault_of(field)


@pytest.mark.thorough
def test_splits_are_downloaded_as_a_table(page):
    page.goto("/routines/routine-demo/runs?show=figures")
    with page.expect_download() as download:
        page.get_by_role("link", name="Export splits (CSV)").click()
    lines = download.value.path().read_text(encoding="utf-8-sig").splitlines()
    assert lines[0].startswith("run,run_id,started_utc")
    assert len(lines) > 12 * 8


@pytest.mark.thorough
def test_changed_rule_sheet_shows_on_the_plan(page, desk):
    page.goto("/rules/new")
    page.get_by_label("Name").fill("Growing slot")
    page.get_by_role("button", name="Save").click()
    page.goto("/")
    page.get_by_label("Name", exact=True).fill("Under a growing slot")
    page.get_by_label("Rule sheet").select_option(label="Growing slot, slot 10:00")
    page.get_by_role("button", name="Create routine").click()
    plan = f"{page.url}/plan"
    page.goto("/rules")
    page.get_by_role("link", name="Edit Growing slot").click()
    page.get_by_label("Slot length").fill("12m")
    page.get_by_role("button", name="Save").click()
    page.wait_for_url("**/rules#sheet-*")
    page.goto(plan)
    expect(page.locator(".menu .about")).to_contain_text("slot 12:00")


@pytest.mark.thorough
def test_texts_with_html_in_them_show_as_texts(page, desk):
    name = "<img src=x onerror=alert(1)> & <b>co</b>"
    routine_id = desk.routine(name, {"<i>Pour</i>": "0:30"})
    desk.paper_run(routine_id, "0:31", label="<u>first</u>")
    for path in ("/", *(f"/routines/{routine_id}/{tab}" for tab in ("plan", "runs", "rehearse"))):
        page.goto(path)
        assert page.get_by_text(name).locator("visible=true").first.is_visible()
        assert page.locator("main :is(img, b b, u)").count() == 0
        assert page.locator("main i", has_text="Pour").count() == 0


def test_unreachable_server_is_told_and_nothing_typed_is_lost(page, watch, empty_server):
    page.goto(f"http://tablet.lan:{empty_server.port}/")
    page.get_by_label("Name", exact=True).fill("Evening set")
    page.get_by_role("button", name="Create routine").click()
    page.get_by_label("First segment").fill("Greet")
    page.get_by_label("Duration").fill("0:25")
    watch.allow("Failed to fetch")
    empty_server.kill()
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("alert")).to_contain_text("cannot be reached")
    expect(page.locator("#saving")).to_have_text("Not saved: Try again")
    assert page.get_by_label("First segment").input_value() == "Greet"
    empty_server.start()
    page.get_by_role("button", name="Try again").click()
    page.wait_for_url("**/plan?*")
    expect_order(page, "Greet")


def test_a_full_disk_is_told_in_its_own_words_on_the_page_that_stays(page, watch, routine):
    page.goto(f"{routine}/details")
    page.get_by_label("Presenter").fill("Runa")
    watch.allow("507")
    full = {"status": 507, "content_type": "text/plain", "body": "The disk is full. Make room."}
    page.route("**/details", lambda route: route.fulfill(**full))
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("alert")).to_contain_text("Make room. What you typed is still here.")
    assert page.get_by_label("Presenter").input_value() == "Runa"


def without_ids(file):
    """A file of a routine with every id replaced by the order in which it first appears."""
    text, known = json.dumps(file), {}
    for each in found_ids(file):
        known.setdefault(each, f"id {len(known)}")
    for one, number in sorted(known.items(), key=lambda pair: -len(pair[0])):
        text = text.replace(f'"{one}"', f'"{number}"')
        text = text.replace(f'"{one}:', f'"{number}:')
    return json.loads(text)


def found_ids(part):
    if isinstance(part, dict):
        for key, value in part.items():
            if key == "id" or key.endswith("_id") or key == "plan_key":
                yield value
            yield from found_ids(value)
    elif isinstance(part, list):
        for value in part:
            yield from found_ids(value)


def test_a_longer_page_that_takes_the_place_of_a_shorter_one_is_not_scrolled_to_its_end(page, desk):
    """The browser would keep in view what the new page pushes down, until it is gone."""
    page.set_viewport_size({"width": 390, "height": 560})
    routine = f"/routines/{desk.routine('Long talk')}"
    desk.send_form(f"{routine}/drinks/new", name="Dusk", serves="1", descriptors="plum")
    page.goto(f"{routine}/script/paste")
    talk = "\n\n".join(f"Part {number}\nThis is said of it, and more." for number in range(20))
    page.get_by_label("The talk").fill(talk)
    button = page.get_by_role("button", name="Cut it into segments")
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    assert (before := page.evaluate("scrollY")) > 0
    button.click()
    page.locator("#part-19").wait_for()
    assert page.evaluate("scrollY") <= before


@pytest.mark.parametrize("words", ["Not saved yet", "Saving …"])
def test_what_is_said_of_saving_has_room_in_the_frame_of_the_smallest_phone(page, routine, words):
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto(f"{routine}/rehearse")
    page.locator("#saving").evaluate("(line, words) => { line.textContent = words }", words)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    expect(page.locator("#saving")).to_be_visible()


@pytest.mark.parametrize("place", ["plan", "script"])
def test_undo_lies_on_nothing_of_a_page_on_a_phone(page, routine, place):
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto(f"{routine}/{place}")
    undo = page.get_by_role("button", name="Undo").bounding_box()
    frame = page.locator("header.frame").bounding_box()
    assert undo["y"] >= 0
    assert undo["y"] + undo["height"] <= frame["height"] + 1
    assert min(undo["width"], undo["height"]) >= 48
    act, menu = (
        page.locator(f".frame {each}").bounding_box() for each in (".act", ".menu summary")
    )
    assert menu["x"] + menu["width"] <= undo["x"] + 1
    assert undo["x"] + undo["width"] <= act["x"] + 1
    assert menu["width"] >= 48
