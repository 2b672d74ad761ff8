"""The plan of the bar as a person sets it out: by keyboard, by mouse, and better."""

import re

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


def test_a_thing_is_dragged_and_a_better_place_is_taken(page, desk):
    here = bar_of(desk, "Kettle, then the jug. Kettle, jug, kettle, jug.")
    desk.send_form(f"{here}/place", key="")
    page.goto(here)
    kettle = page.get_by_role("link", name=re.compile(r"\d+ Kettle"))
    box, plan = kettle.bounding_box(), page.locator(".station-plan svg").bounding_box()
    page.mouse.move(box["x"] + 8, box["y"] + 8)
    page.mouse.down()
    page.mouse.move(plan["x"] + 90, box["y"] + 12, steps=4)
    page.mouse.up()
    expect(page.locator("#last-changes")).to_contain_text("moved “Kettle”")
    dragged = left_of(desk, here, "kettle")
    assert dragged < 40
    page.get_by_role("link", name="What stands better elsewhere?").click()
    expect(page.get_by_role("heading", name="less in a run")).to_be_visible()
    assert barred_by_axe(page) == []
    page.get_by_role("button", name="Use this arrangement").click()
    expect(page.locator("#last-changes")).to_contain_text("set the bar out better")
    assert left_of(desk, here, "kettle") > dragged
