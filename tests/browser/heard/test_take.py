"""Captions of a take become a run: one boundary moved with the keys, then accepted and counted."""

import pytest
from playwright.sync_api import expect

from server.domain.whole.routine_file import RoutineFile, file_pieces
from tests.browser.axe import barred_by_axe
from tests.factories import RULES
from tests.spoken import captions, spoken_routine


@pytest.fixture
def routine_path(desk):
    """The address of a routine with a script and two flavours to name."""
    routine = spoken_routine(name="Pears by the river")
    file = RoutineFile("ninefifty-routine", 1, routine, RULES)
    files = {"file": ("pears.json", "".join(file_pieces(file, ())))}
    answer = desk.post("/import", files=files, follow_redirects=False)
    return "/".join(answer.headers["location"].split("/")[:3])


def sent_captions(page, path):
    """A take of captions, sent from the place of runs."""
    page.goto(f"{path}/runs")
    page.get_by_role("link", name="from a recording").click()
    content = {"name": "take.vtt", "mimeType": "text/vtt", "buffer": captions().encode()}
    page.get_by_label("Captions or text").set_input_files(content)
    page.get_by_role("button", name="Lay it against the script").click()


def test_captions_become_a_run_with_one_boundary_moved_by_keys(page, routine_path):
    sent_captions(page, routine_path)
    page.get_by_role("link", name="Segment s2").click()
    slider = page.get_by_role("slider", name="Start: 2. Segment s2")
    slider.press("Shift+ArrowRight")
    slider.press("ArrowRight")
    row = page.locator("#line-s2")
    expect(row).to_contain_text("Set by you")
    expect(row).to_contain_text("0:15.1")
    expect(page.get_by_role("slider")).to_be_focused()
    assert barred_by_axe(page) == []
    page.get_by_role("link", name="Make it a run").click()
    page.get_by_label("Name of this run").fill("Hands free")
    page.get_by_role("button", name="Make it a run").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Hands free")
    page.get_by_role("link", name="All runs").click()
    expect(page.get_by_text("Hands free").first).to_be_visible()
    page.goto(f"{routine_path}/runs?show=figures")
    expect(page.locator("main")).to_contain_text("ripe pear")
    expect(page.locator("main")).to_contain_text("1 of 1")


def test_the_ways_in_and_a_take_bar_nobody(page, routine_path):
    page.goto(f"{routine_path}/takes")
    expect(page.get_by_label("Sound or video", exact=True)).to_be_visible()
    assert barred_by_axe(page) == []
    sent_captions(page, routine_path)
    expect(page.get_by_role("heading", name="Claims 2 of 2 heard")).to_be_visible()
    assert barred_by_axe(page) == []
