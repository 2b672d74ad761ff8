"""From devices to people: the first account, and what becomes of what was let in before."""

from tests.factories import make_routine
from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.people.conftest import ADA, PASSWORD, browser_on, sign_in
from tests.web.shelf import keep

FIRST = {"name": "Ada", "sign_in": ADA, "password": PASSWORD}


def test_the_owners_browser_is_led_to_the_first_account(owner):
    answer = owner.get("/")
    assert (answer.status_code, answer.headers["location"]) == (303, "/first-account")
    assert Page(owner.get("/first-account")).text("h1") == "Make the first account"


def test_whoever_opens_the_printed_link_makes_the_first_account(owner):
    browser = browser_on(owner)
    secret = owner.app.state.door.link_secret
    assert browser.post("/in/link", data={"secret": secret}).status_code == 303
    assert browser.get("/").headers["location"] == "/first-account"


def test_who_made_the_first_account_is_signed_in_as_admin(owner):
    answer = owner.post("/first-account", data=FIRST)
    assert (answer.status_code, answer.headers["location"]) == (303, "/account?new=yes")
    assert Page(owner.get("/account")).text("h1 + .about") == "Admin"
    assert owner.get("/people").status_code == 200


def test_a_stranger_makes_no_first_account(owner):
    assert browser_on(owner).post("/first-account", data=FIRST).status_code == 403
    assert "Nobody has an account yet" in browser_on(owner).get("/sign-in").text


def test_a_second_first_account_is_not_made(house, ada):
    assert ada.post("/first-account", data=FIRST | {"sign_in": "eve"}).status_code == 403
    again = owner_again(house).post("/first-account", data=FIRST)
    assert again.headers["location"] == "/sign-in?to=/"


def owner_again(house):
    """The browser that was the owner's before people had accounts."""
    return browser_on(house, cookies=dict(house.cookies))


def test_devices_that_were_let_in_before_open_nothing_any_longer(house):
    assert owner_again(house).get("/").headers["location"] == "/sign-in?to=/"
    here = browser_on(house, "http://localhost:8000", client=("127.0.0.1", 4000))
    assert here.get("/").status_code == 303
    assert (
        here.post("/in/link", data={"secret": house.app.state.door.link_secret}).headers["location"]
        == "/sign-in"
    )


def test_switched_off_again_the_owners_devices_are_let_in_and_people_are_not(tmp_path):
    with app_in(tmp_path, people=True) as owner:
        keep(owner, make_routine())
        owner.post("/first-account", data=FIRST)
        browser = browser_on(owner)
        sign_in(browser)
        shown = dict(browser.cookies)
    with app_in(tmp_path) as owner:
        assert owner.get("/routines/r1").status_code == 200
        assert browser_on(owner, cookies=shown).get("/").status_code == 403
        assert [owner.get(path).status_code for path in ("/sign-in", "/account")] == [404, 404]


def test_what_is_wrong_with_an_account_is_told_beside_its_field_and_no_password_comes_back(owner):
    answer = owner.post("/first-account", data=FIRST | {"sign_in": "", "password": "password1234"})
    page = Page(answer)
    assert answer.status_code == 422
    assert page.fault("sign_in").startswith("Give a name to sign in by")
    assert page.fault("password").startswith("This is one of those that are tried first")
    assert (page.typed("name"), page.typed("password")) == ("Ada", "")


def test_marks_of_the_owners_stage_are_taken_until_the_first_account_is_made(owner):
    assert owner.get("/api/runs/none/events").status_code == 404
