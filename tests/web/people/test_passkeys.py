"""Passkeys: made, used to sign in, removed; challenges are answered once, where they were asked."""

import pytest

from server.store.people.challenges import CHALLENGE_LASTS_MS
from tests.web.conftest import ORIGIN, later
from tests.web.html import Page
from tests.web.people.authenticator import Authenticator
from tests.web.people.conftest import PASSWORD, browser_on


def make(browser, authenticator, name="Phone", present=PASSWORD):
    options = browser.post("/api/passkeys/begin", json={"present": present}).json()
    sent = {"name": name, "credential": authenticator.make(options)}
    return browser.post("/api/passkeys", json=sent)


def begin(browser):
    return browser.post("/api/sign-in/begin", json={}).json()


def answer(browser, credential, to="/rules"):
    return browser.post("/api/sign-in/passkey", json={"credential": credential, "to": to})


@pytest.fixture
def key():
    return Authenticator(ORIGIN, "tablet.lan")


@pytest.fixture
def kept(ada, key):
    assert make(ada, key).json() == {"to": "/account"}
    return key


def test_whoever_holds_the_passkey_signs_in_and_lands_where_they_wanted(house, kept):
    browser = browser_on(house)
    assert answer(browser, kept.sign(begin(browser))).json() == {"to": "/rules"}
    assert Page(browser.get("/account")).text("#about-me h2") == "Ada"


def test_a_challenge_is_answered_once(house, kept):
    browser = browser_on(house)
    credential = kept.sign(begin(browser))
    assert answer(browser, credential).status_code == 200
    again = answer(browser_on(house, cookies=dict(browser.cookies)), credential)
    assert again.status_code == 422


def test_a_challenge_is_answered_where_it_was_asked(house, kept):
    credential = kept.sign(begin(browser_on(house)))
    assert answer(browser_on(house), credential).status_code == 422
    other = browser_on(house)
    begin(other)
    assert answer(other, credential).status_code == 422


def test_a_challenge_is_answered_within_five_minutes(house, kept):
    browser = browser_on(house)
    credential = kept.sign(begin(browser))
    later(house, CHALLENGE_LASTS_MS)
    assert answer(browser, credential).status_code == 422


def test_an_answer_for_another_place_is_refused(house, kept):
    browser = browser_on(house)
    kept.origin = "http://elsewhere.lan"
    assert answer(browser, kept.sign(begin(browser))).status_code == 422


def test_another_key_under_the_same_name_is_refused(house, kept):
    browser = browser_on(house)
    copy = Authenticator(ORIGIN, "tablet.lan")
    assert answer(browser, copy.sign(begin(browser))).status_code == 422
    unknown = Authenticator(ORIGIN, "tablet.lan", b"never seen")
    assert answer(browser, unknown.sign(begin(browser))).status_code == 422


def test_a_copy_that_did_not_count_on_is_refused(house, kept):
    browser = browser_on(house)
    for _ in range(2):
        assert answer(browser, kept.sign(begin(browser))).status_code == 200
    kept.signs = 1
    assert answer(browser, kept.sign(begin(browser))).status_code == 422


def test_a_passkey_is_made_with_the_present_password_and_under_a_name(ada, key):
    refused = ada.post("/api/passkeys/begin", json={"present": "wrong"}).json()
    assert refused["error"]["faults"][0]["field"] == "present"
    assert make(ada, key, name=" ").json()["error"]["faults"][0]["field"] == "name"
    assert make(ada, key, name="Ada’s phone").status_code == 200
    assert "Ada’s phone" in ada.get("/account").text
    assert make(ada, key).status_code == 409


def test_a_passkey_is_removed_by_one_touch_and_by_nobody_else(house, ada, bea, kept):
    path = Page(ada.get("/account")).one("#passkeys form.one-button").get("action")
    assert bea.post(path).status_code == 404
    assert ada.post(path).status_code == 303
    browser = browser_on(house)
    assert answer(browser, kept.sign(begin(browser))).status_code == 422


def test_whose_account_is_ended_signs_in_by_no_passkey(house, ada, bea):
    key = Authenticator(ORIGIN, "tablet.lan")
    make(bea, key)
    ada.post(f"/people/{house.app.state.bea.id}/end")
    browser = browser_on(house)
    assert answer(browser, key.sign(begin(browser))).status_code == 422


def test_where_the_address_is_a_number_it_is_said_why_there_are_no_passkeys(house):
    browser = browser_on(house, "http://192.168.1.20")
    refused = browser.post("/api/sign-in/begin", json={})
    assert refused.status_code == 422
    assert "is a number" in refused.json()["error"]["faults"][0]["message"]


NONSENSE = ({}, {"credential": 1}, {"credential": {"id": "x"}}, {"credential": {}})


@pytest.mark.parametrize("sent", NONSENSE, ids=str)
def test_nonsense_is_refused_in_words(house, ada, sent):
    browser = browser_on(house)
    begin(browser)
    assert browser.post("/api/sign-in/passkey", json=sent).status_code == 422
    ada.post("/api/passkeys/begin", json={"present": PASSWORD})
    assert ada.post("/api/passkeys", json={"name": "x", **sent}).status_code == 422


@pytest.mark.parametrize("lacks", [1, 3, -1, -2, -3])
def test_a_key_that_lacks_a_part_is_refused_in_words(ada, key, lacks):
    options = ada.post("/api/passkeys/begin", json={"present": PASSWORD}).json()
    sent = {"name": "Phone", "credential": key.make(options, lacks)}
    assert ada.post("/api/passkeys", json=sent).status_code == 422
