"""Friends taste on their phones, one of them without network for a while."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.axe import barred_by_axe
from tests.browser.coach_page import PHONE
from tests.browser.desk import Desk
from tests.browser.paper import sheets_of

POUR = {"glass_ml": "20", "most_drinks": "1"}


@pytest.fixture
def routine(desk):
    """The address of a routine of the test's own, with the drinks of the demo."""
    return desk.send_form("/routines/routine-demo/copy").removesuffix("/details")


def tasting(desk: Desk, routine: str, form: str = "list", **fields: str) -> tuple[str, str]:
    """A tasting of the first drink: its address, and its code."""
    ids = list(desk.ids(routine.split("/")[-1], "drinks").values())
    given = {"drink": ids[0], "decoys": "6", "strength": "yes", "first": ids[0], "second": ids[1]}
    here = desk.send_form(f"{routine}/tastings/{form}", **(POUR | given | fields))
    return here, re.search(r'id="code">([^<]+)<', desk.post(f"{here}/open").text)[1]


def seated(new_context, address: str, code: str, name: str):
    """The page of one who scanned the code and said that they may taste."""
    context = new_context(**PHONE)
    context.clear_cookies()  # A friend's phone is let in to nothing.
    page = context.new_page()
    page.goto(f"{address}/taste")
    page.goto(f"{address}/taste#{code}")  # The page is open already when the code is scanned.
    page.get_by_label("Your name").fill(name)
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("I am of legal age").check()
    page.get_by_label("I read what is in it").check()
    page.get_by_role("button", name="Taste").click()
    return page


def hand_in(page, word: str) -> None:
    """Find one word at the first sip, and be done."""
    row = page.locator(".taste-word", has=page.get_by_text(word, exact=True))
    row.get_by_role("checkbox").check()
    row.get_by_label("First sip").check()
    page.get_by_role("button", name="Hand it in").click()


def test_what_is_said_before_a_card_is_handed_in_stands_off_the_rule_above_it(page, desk, routine):
    here, _ = tasting(desk, routine)
    page.goto(here)
    above, told = (page.locator(each).bounding_box() for each in (".taste-code", ".empty"))
    assert told["y"] - (above["y"] + above["height"]) >= 8


@pytest.mark.parametrize("tasters", [3, pytest.param(9, marks=pytest.mark.thorough)])
def test_friends_taste_one_of_them_without_network(
    new_context, base_url, desk, routine, watch, tasters
):
    here, code = tasting(desk, routine)
    watch.allow("ERR_INTERNET_DISCONNECTED")
    names = [f"Taster {number}" for number in range(tasters)]
    *others, cleo = (seated(new_context, base_url, code, name) for name in names)
    for page in others:
        hand_in(page, "apricot")
        expect(page.get_by_role("status").last).to_have_text("Your card is handed in. Thank you.")
    cleo.context.set_offline(True)
    hand_in(cleo, "apricot")
    expect(cleo.locator("#taste-said")).to_contain_text("Kept on this phone")
    host = new_context().new_page()
    host.goto(base_url + here)
    apricot = host.locator("ol.found-words li", has=host.get_by_text("apricot", exact=True))
    found = apricot.locator(".found-count")
    expect(found).to_have_text(f"{tasters - 1} of {tasters - 1}")
    cleo.context.set_offline(False)
    expect(cleo.locator("#taste-said")).to_have_text("Your card is handed in. Thank you.")
    host.reload()
    expect(found).to_have_text(f"{tasters} of {tasters}")
    card = cleo.url
    cleo.goto("about:blank")
    cleo.goto(card)  # As the browser kept it, before anything was answered.
    expect(cleo.get_by_role("checkbox", checked=True)).to_have_count(1)
    expect(cleo.locator("#taste-said")).to_have_text("Your card is handed in. Thank you.")


def test_nobody_is_barred_from_a_card_and_who_sees_them_handed_in(
    new_context, base_url, desk, routine
):
    here, code = tasting(desk, routine)
    card = seated(new_context, base_url, code, "Ada")
    card.locator(".taste-word input").first.check()
    assert barred_by_axe(card) == []
    hand_in(card, "apricot")
    expect(card.locator("#taste-said")).to_contain_text("handed in")
    host = new_context().new_page()
    host.goto(base_url + here)
    host.evaluate("document.querySelectorAll('details').forEach((each) => (each.open = true))")
    assert barred_by_axe(host) == []


@pytest.mark.thorough
def test_nobody_is_barred_from_pairs_and_from_preparing_tastings(
    new_context, base_url, desk, routine
):
    pair, code = tasting(
        desk, routine, "pairs", kind="triangle", tasters="6", pd="0.5", alpha="0.05", beta="0.2"
    )
    assert barred_by_axe(seated(new_context, base_url, code, "Ada")) == []
    host = new_context().new_page()
    edits = (f"{routine}/tastings?edit=list", f"{routine}/tastings?edit=pairs")
    for path in (*edits, pair, f"{pair}/serving", f"{routine}/tastings/order"):
        host.goto(base_url + path)
        host.evaluate("document.querySelectorAll('details').forEach((each) => (each.open = true))")
        assert (path, barred_by_axe(host)) == (path, [])


def test_a_serving_plan_takes_one_sheet_of_paper(page, desk, routine):
    pair, _ = tasting(
        desk, routine, "pairs", kind="triangle", tasters="9", pd="0.5", alpha="0.05", beta="0.2"
    )
    page.goto(f"{pair}/serving")
    expect(page.locator("table")).not_to_have_count(0)
    assert sheets_of(page) == 1
