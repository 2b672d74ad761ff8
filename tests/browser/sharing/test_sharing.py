"""A routine shared with a coach: by a link, on a phone, and what the coach then sees of it."""

import time

import pytest
from playwright.sync_api import expect

from server.settings import DATABASE_NAME
from server.store.database import Database
from server.store.people.persons import make_person
from server.store.people.sign_ins import sign_in
from server.store.sharing.teams import make_team
from tests.browser.axe import barred_by_axe
from tests.factories import NOW_MS
from tests.real_server import RealServer

PHONE = {"width": 360, "height": 640}
PASSWORD = "three warm oranges"
ROUTINE = "/routines/routine-demo"


@pytest.fixture
def house(tmp_path):
    """An app with the demo, where people have accounts."""
    with RealServer(tmp_path / "data", people=True) as server:
        yield server


@pytest.fixture
def ada(house, tmp_path, browser):
    """The phone of the first person, who owns what was made before."""
    database = Database(tmp_path / "data" / DATABASE_NAME)
    with database.writing() as session:
        person = make_person(session, "Ada", "ada", NOW_MS)
        make_team(session, "Tide", person.id, NOW_MS)
        now_ms = time.time_ns() // 1_000_000
        token = sign_in(session, person.id, "Phone", now_ms)[1]
    database.close()
    page = phone(browser, house)
    cookie = {"name": f"ninefifty-person-{house.port}", "value": token, "url": at(house)}
    page.context.add_cookies([cookie])
    yield page
    page.context.close()


def at(house, path=""):
    return f"http://localhost:{house.port}{path}"


def phone(browser, house):
    return browser.new_context(viewport=PHONE, base_url=at(house)).new_page()


def test_an_owner_invites_a_coach_who_then_sees_only_what_a_coach_may(house, ada, browser):
    ada.goto(f"{ROUTINE}/people")
    ada.get_by_role("radio", name="Coach").check()
    ada.get_by_role("button", name="They have no account").click()
    link = ada.locator("#secret-link").input_value()
    coach = phone(browser, house)
    coach.goto(f"/invited#{link.split('#')[1]}")
    coach.get_by_label("Your name").fill("Bea")
    coach.get_by_label("Name to sign in by").fill("bea")
    coach.get_by_label("Password").fill(PASSWORD)
    coach.get_by_role("button", name="Make the account").click()
    coach.goto(f"{ROUTINE}/script")
    expect(coach.get_by_text("You read this routine")).to_be_visible()
    expect(coach.get_by_role("link", name="Rehearse")).to_have_count(0)
    expect(coach.locator("textarea:not([disabled])")).to_have_count(0)
    # Nothing of theirs was saved.
    expect(coach.locator("#saving")).to_be_empty()
    coach.goto(f"{ROUTINE}/plan?open=segment-seg-brew")
    # Without the buttons around it the planned time has room for itself.
    box = "b => [b.offsetHeight, parseFloat(getComputedStyle(b).lineHeight)]"
    height, line = coach.locator("#nudged").evaluate(box)
    assert height < 1.5 * line
    coach.goto(f"{ROUTINE}/prepare")
    expect(coach.get_by_text("Pear brandy")).to_be_visible()
    coach.goto(f"{ROUTINE}/people")
    expect(coach.get_by_role("button", name="Add")).to_have_count(0)
    coach.context.close()
    ada.goto(f"{ROUTINE}/people")
    expect(ada.get_by_role("heading", name="Bea")).to_be_visible()
    assert barred_by_axe(ada) == []


@pytest.mark.thorough
def test_the_pages_of_sharing_bar_nobody_on_a_phone(ada):
    pages = [f"{ROUTINE}/people", f"{ROUTINE}/people?edit=leave", "/teams", "/house"]
    barred = []
    for path in pages:
        ada.goto(path)
        barred += barred_by_axe(ada)
    ada.goto("/teams")
    ada.get_by_role("link", name="Tide").click()
    expect(ada.locator("h1")).to_have_text("Tide")
    barred += barred_by_axe(ada)
    assert barred == []
