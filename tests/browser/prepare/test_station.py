"""The plan of the bar as a person sets it out: by keyboard, by mouse, and better."""

import re
from base64 import b64decode

from playwright.sync_api import expect

from tests.browser.axe import barred_by_axe


def bar_of(desk, hands):
    routine = desk.routine("Bar", {"Greet": "0:20"})
    segment = desk.ids(routine)["Greet"]
    fields = {"name": "Greet", "likely": "0:20", "lane": "both", "hands": hands}
    desk.send_form(f"/routines/{routine}/segments/{segment}", **fields)
    here = f"/routines/{routine}/station"
    surface = {"name": "Bar", "width": "180", "depth": "60", "x": "0", "y": "0"}
    desk.send_form(f"{here}/surfaces/new", **surface)
    return here


def left_of(desk, here, name):
    routine = desk.get(f"/routines/{here.split('/')[2]}/export.json").json()["routine"]
    spots = routine["preparation"]["station"]["spots"]
    return next(spot["x_cm"] for spot in spots if spot["thing"].endswith(name))


def test_a_bar_is_set_out_moved_by_keys_and_taken_back(page, desk):
    here = bar_of(desk, "Kettle, then the jug. Kettle, jug, kettle, jug.")
    page.goto(here)
    page.get_by_role("button", name="Set everything out").click()
    kettle = page.get_by_role("link", name=re.compile(r"\d+ Kettle"))
    expect(kettle).to_be_visible()
    before = left_of(desk, here, "kettle")
    kettle.focus()
    for key in ("Shift+ArrowRight", "ArrowRight", "Enter"):
        page.keyboard.press(key)
    expect(page.locator("#last-changes")).to_contain_text("moved “Kettle”")
    assert left_of(desk, here, "kettle") == before + 6
    expect(kettle).to_be_focused()
    assert barred_by_axe(page) == []
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#last-changes")).not_to_contain_text("moved")
    assert left_of(desk, here, "kettle") == before


def by_finger(page, start, end):
    """A finger from one place to another; Playwright itself can only tap."""
    screen = page.context.new_cdp_session(page)
    points = [start, ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2), end]
    for kind, (x, y) in zip(("touchStart", "touchMove", "touchMove"), points, strict=True):
        touch = {"type": kind, "touchPoints": [{"x": x, "y": y}]}
        screen.send("Input.dispatchTouchEvent", touch)
    screen.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_on_a_phone_a_thing_is_dragged_and_a_better_place_taken(new_context, desk):
    page = new_context(viewport={"width": 360, "height": 640}, has_touch=True).new_page()
    here = bar_of(desk, "Kettle, then the jug. Kettle, jug, kettle, jug.")
    desk.send_form(f"{here}/place", key="")
    before = left_of(desk, here, "kettle")
    page.goto(here)
    kettle = page.get_by_role("link", name=re.compile(r"\d+ Kettle"))
    box = kettle.bounding_box()
    # The whole bar first: a touch shows that place larger and opens nothing.
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.get_by_role("button", name="The whole bar")).to_be_visible()
    box, scrolled = kettle.bounding_box(), page.evaluate("scrollY")
    assert 0 < box["x"] < 360 - box["width"]
    by_finger(page, (box["x"] + 20, box["y"] + 20), (6, box["y"] - 140))
    expect(page.locator("#last-changes")).to_contain_text("moved “Kettle”")
    dragged = left_of(desk, here, "kettle")
    assert (dragged < before - 10, page.evaluate("scrollY")) == (True, scrolled)
    expect(page.get_by_role("button", name="The whole bar")).to_be_visible()
    page.get_by_role("link", name="What stands better elsewhere?").click()
    expect(page.get_by_role("heading", name="less in a run")).to_be_visible()
    assert barred_by_axe(page) == []
    page.get_by_role("button", name="Use this arrangement").click()
    expect(page.locator("#last-changes")).to_contain_text("set the bar out better")
    assert left_of(desk, here, "kettle") > dragged


def test_a_photograph_that_is_too_large_is_not_sent(page, desk):
    page.goto(f"{bar_of(desk, 'Kettle.')}?edit=photograph")
    choose = page.get_by_label("A photograph", exact=True)
    keep = page.get_by_role("button", name="Keep it")
    # The form tells how much it takes: the test need not send so much through the browser.
    choose.evaluate("(field) => { field.dataset.most = '10'; }")
    for size, is_large in ((11, True), (9, False)):
        choose.set_input_files({"name": "bar.png", "mimeType": "image/png", "buffer": b"x" * size})
        expect(page.get_by_text("That file is too large")).to_be_visible(visible=is_large)
        expect(keep).to_be_enabled(enabled=not is_large)


def test_a_photograph_that_cannot_be_had_just_now_is_not_taken_for_lost(page, desk, watch):
    here = bar_of(desk, "Kettle.")
    routine = here.split("/")[2]
    picture = b64decode(
        "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5E"
        "rkJggg=="
    )
    desk.post(f"/photographs/{routine}", files={"photograph": ("bar.png", picture)})
    watch.allow("503")
    page.route("**/photographs/*/*", lambda route: route.fulfill(status=503))
    page.goto(here)
    expect(page.get_by_text("The photograph cannot be shown just now")).to_be_visible()
    expect(page.get_by_role("img", name="The real bar")).to_be_hidden()
