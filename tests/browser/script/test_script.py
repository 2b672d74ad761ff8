"""Writing the script: claims follow recipe and text, and nothing ever gets between two keys."""

import re
import threading

import pytest
from playwright.sync_api import expect

SAID = "Thirty millilitres of plum rum. You will find plum."


@pytest.fixture
def routine(desk):
    """A routine of one drink and two segments; the start of its addresses."""
    routine_id = desk.routine("Dusk set", {"Greet": "0:20", "Pour": "0:40"})
    path = f"/routines/{routine_id}"
    desk.send_form(f"{path}/drinks/new", name="Dusk", serves="1", descriptors="plum")
    drink = desk.ids(routine_id, "drinks")["Dusk"]
    desk.send_form(
        f"{path}/drinks/{drink}/ingredients/new",
        name="Plum rum", amount="30 ml", descriptors="plum",
    )  # fmt: skip
    ids = desk.ids(routine_id)
    desk.send_form(
        f"{path}/segments/{ids['Pour']}",
        name="Pour", likely="0:40", lane="both", drink=drink, said=SAID,
    )  # fmt: skip
    return path


@pytest.fixture
def script(page, routine):
    page.goto(f"{routine}/script")
    return page


def area(page, name):
    return page.get_by_label(f"What is said: {name}")


def reading(page, name):
    return page.locator(".said").filter(has=area(page, name)).locator(".reading")


def texts_kept(desk, routine):
    segments = desk.get(f"{routine}/export.json").json()["routine"]["segments"]
    return [segment.get("said", "") for segment in segments]


def set_amount(page, routine, amount):
    page.goto(f"{routine}/drinks")
    page.locator(".part-row a", has_text="Plum rum").click()
    form = page.get_by_role("form", name="Edit Plum rum")
    form.get_by_label("Amount").fill(amount)
    form.get_by_role("button", name="Save").click()
    expect(form).to_have_count(0)
    # The address of the form is taken back a moment after it is gone.
    page.wait_for_url("**/drinks")


def test_a_broken_recipe_contradicts_the_sentence_until_it_is_mended(page, routine):
    for amount, state in (("45 ml", "contradicted"), ("30 ml", "backed")):
        set_amount(page, routine, amount)
        page.goto(f"{routine}/claims")
        row = page.locator(".claim").filter(has_text="30 ml of Plum rum")
        expect(row.locator(".badges")).to_contain_text(state.capitalize())
        row.locator(".places a").click()
        mark = reading(page, "Pour").locator(".claim-mark", has_text="Thirty millilitres")
        expect(mark).to_have_class(f"claim-mark {state}")
    mark.click()
    expect(page.locator(".claim:target")).to_contain_text("30 ml of Plum rum")


def test_marks_follow_the_text_after_a_pause_and_the_text_area_stays_the_same(script):
    box = area(script, "Pour")
    box.evaluate("area => { area.isTheSame = true; }")
    box.press("Control+End")
    box.press_sequentially(" And smoke.", delay=10)
    expect(reading(script, "Pour").locator(".unbacked")).to_contain_text("smoke")
    assert box.evaluate("area => area.isTheSame && document.activeElement === area")
    expect(box).to_have_value(f"{SAID} And smoke.")


def test_typing_never_waits_for_a_check(script):
    asked, held = threading.Event(), []

    def hold(route):
        held.append(route)
        asked.set()

    script.route("**/script/check", hold)
    box = area(script, "Greet")
    box.click()
    script.keyboard.type("Good evening.")
    script.wait_for_timeout(900)
    assert asked.is_set()
    script.keyboard.type(" You will find smoke,")
    box.evaluate("area => area.setSelectionRange(5, 5)")
    for route in held:
        route.continue_()
    held.clear()
    script.wait_for_timeout(400)
    script.keyboard.type("X")
    expect(box).to_have_value("Good Xevening. You will find smoke,")
    assert box.evaluate("area => [area.selectionStart, document.activeElement === area]") == [6, 1]
    script.unroute_all(behavior="ignoreErrors")


def test_the_script_is_saved_by_itself_after_a_longer_pause(script, desk, routine):
    area(script, "Greet").fill("Good evening.")
    expect(script.locator("#script-state")).to_contain_text("Not saved yet")
    expect(script.locator("#script-state")).to_contain_text("All is saved", timeout=9000)
    assert texts_kept(desk, routine) == ["Good evening.", SAID]
    expect(script.locator("#last-changes")).to_contain_text("wrote in “Greet”")


def test_leaving_for_another_page_saves_first(script, desk, routine):
    area(script, "Greet").fill("Good evening.")
    script.get_by_role("link", name="Claims", exact=True).click()
    expect(script.get_by_role("heading", name="Claims ledger")).to_be_visible()
    assert texts_kept(desk, routine) == ["Good evening.", SAID]


def test_closing_the_page_sends_what_was_not_saved(script, desk, routine):
    area(script, "Greet").fill("Good night.")
    script.close()
    for _ in range(30):
        if texts_kept(desk, routine)[0]:
            break
        threading.Event().wait(0.1)
    assert texts_kept(desk, routine) == ["Good night.", SAID]


def test_undo_takes_back_a_save_without_losing_the_place(script, desk, routine):
    area(script, "Greet").fill("Good evening.")
    with script.expect_response("**/script"):
        script.get_by_role("button", name="Save the script").click()
    expect(script.locator("#last-changes")).to_contain_text("wrote in “Greet”")
    script.locator("#undo").click()
    expect(area(script, "Greet")).to_have_value("")
    assert script.url.endswith("/script")


def test_rich_text_is_pasted_as_plain_text(script):
    script.evaluate(
        """() => {
          const rich = document.createElement("div");
          rich.contentEditable = "true";
          rich.id = "rich";
          rich.innerHTML = "<h2>You <b>will</b> find</h2> <i>smoke</i>";
          document.querySelector("main").append(rich);
        }"""
    )
    script.locator("#rich").click()
    script.keyboard.press("ControlOrMeta+a")
    script.keyboard.press("ControlOrMeta+c")
    area(script, "Greet").click()
    script.keyboard.press("ControlOrMeta+v")
    pasted = re.sub(r"\s+", " ", area(script, "Greet").input_value())
    assert pasted.strip() == "You will find smoke"


def test_a_text_that_is_too_long_stays_and_says_so(script, desk, routine):
    long = "plum " * 4001
    area(script, "Greet").fill(long)
    script.get_by_role("button", name="Save the script").click()
    expect(script.locator("#script-state .fault")).to_contain_text("could not be saved")
    expect(area(script, "Greet")).to_have_value(long)
    assert texts_kept(desk, routine)[0] == ""


def test_nobody_is_locked_in_by_a_text_that_cannot_be_saved(script):
    area(script, "Greet").fill("plum " * 4001)
    script.get_by_role("link", name="Claims", exact=True).click()
    expect(script.locator("#script-state .fault")).to_contain_text("could not be saved")
    asked = []
    script.once("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    script.get_by_role("link", name="Claims", exact=True).click()
    expect(script.get_by_role("heading", name="Claims ledger")).to_be_visible()
    assert asked == ["beforeunload"]


def test_a_way_that_was_held_is_not_taken_later_on(script, watch):
    watch.allow("Failed to fetch")
    script.route("**/script", lambda route: route.abort())
    area(script, "Greet").fill("Good evening.")
    script.get_by_role("link", name="Claims", exact=True).click()
    expect(script.locator("#trouble")).to_contain_text("cannot be reached")
    script.unroute_all(behavior="ignoreErrors")
    area(script, "Greet").press("End")
    script.keyboard.type(" Judges.")
    script.get_by_role("button", name="Save the script").click()
    expect(script.locator("#script-state")).to_contain_text("All is saved")
    script.wait_for_timeout(300)
    assert script.url.endswith("/script")


def test_the_printed_script_is_read_without_the_editor(script):
    script.emulate_media(media="print")
    expect(reading(script, "Pour").get_by_text("Thirty millilitres")).to_be_visible()
    expect(area(script, "Pour")).to_be_hidden()
    expect(script.locator(".cost").first).to_be_hidden()
