"""Learning a segment by heart, with keys and touch, and without the server for a while."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.axe import barred_by_axe

SAID = "The lamp on the landing is lit. Please settle in."


@pytest.fixture
def routine(desk):
    """A routine with two sentences in its one segment; the start of its addresses."""
    routine_id = desk.routine("By heart", {"Greet": "0:20"})
    segment = desk.ids(routine_id)["Greet"]
    path = f"/routines/{routine_id}"
    desk.send_form(
        f"{path}/segments/{segment}", name="Greet", likely="0:20", lane="both", said=SAID
    )
    return path


def visible(page):
    """The letters that are shown of each sentence."""
    script = """(line) => [...line.querySelectorAll(".learn-words *")]
      .filter((one) => getComputedStyle(one).visibility === "visible")
      .flatMap((one) => [...one.childNodes].filter((node) => node.nodeType === 3))
      .map((node) => node.data.trim()).join("")"""
    return [line.evaluate(script) for line in page.locator(".learn-line").all()]


def learnt(desk, routine):
    marks = desk.get(f"{routine}/export.json").json().get("learnt", [])
    return [(each["text"], each["how"], each["step"]) for each in marks]


def test_a_segment_is_learnt_until_nothing_is_shown_and_its_marks_arrive(page, desk, routine):
    page.goto(f"{routine}/learn")
    page.get_by_role("link", name="Greet").click()
    step = page.get_by_role("status").filter(has_text="of 12")
    expect(step).to_have_text(re.compile("Read it aloud"))
    # Undo floats at the foot of a tablet: here it lay over the end of Next.
    usual = page.viewport_size
    page.set_viewport_size({"width": 800, "height": 1280})
    expect(page.locator("#undo")).to_be_hidden()
    page.set_viewport_size(usual)
    shown = []
    for key in ("Space", "PageDown", "ArrowRight", "Space", "PageDown"):
        shown.append(len(visible(page)[1]))
        page.keyboard.press(key)
        page.keyboard.press(key)
    assert shown == sorted(shown, reverse=True)
    assert visible(page) == ["", ""]
    expect(step).to_have_text(re.compile("Nothing shown"))
    page.keyboard.press("Space")
    assert visible(page)[0].startswith("The")
    page.context.set_offline(True)
    page.get_by_role("button", name="I knew it").click()
    page.keyboard.press("2")
    expect(page.get_by_text("2 marks not sent yet")).to_be_visible()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("3")
    for _ in range(2):
        page.keyboard.press("Space")
    page.keyboard.press("1")
    expect(page.locator(".learn-over h2")).to_have_text("2 sentences said by heart")
    assert barred_by_axe(page) == []
    page.context.set_offline(False)
    expect(page.get_by_text("not sent yet")).to_have_count(0)
    first, second = SAID.split(". ", 1)
    assert sorted(learnt(desk, routine)) == [
        ("Please settle in.", "gone", 5),
        ("Please settle in.", "sat", 5),
        (f"{first}.", "sat", 5),
    ]
    assert second == "Please settle in."
