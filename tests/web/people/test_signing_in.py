"""Signing in by name and password, how long it holds, and that wrong ones tell nothing."""

from contextlib import suppress
from threading import Event

import pytest

from server.domain.base.errors import TooMany
from server.store.between.notices import OwnNotices
from server.store.people import passwords
from server.store.people.sign_ins import IDLE_MS, end_sign_ins
from server.web.frame.door import TRUSTED_S
from server.web.frame.throttle import Throttle
from tests.factories import NOW_MS
from tests.web.conftest import later
from tests.web.html import Page
from tests.web.people.conftest import ADA, BEA, PASSWORD, browser_on, sign_in
from tests.web.shelf import all_that_is_kept


def secret_in(answer):
    return answer.headers["set-cookie"].split("=", 1)[1].split(";")[0]


def test_who_signs_in_lands_where_they_wanted(house):
    browser = browser_on(house)
    assert browser.get("/rules").headers["location"] == "/sign-in?to=/rules"
    page = Page(browser.get("/sign-in?to=/rules"))
    assert page.typed("to", "/sign-in") == "/rules"
    answer = sign_in(browser, to="/rules")
    assert (answer.status_code, answer.headers["location"]) == (303, "/rules")
    assert browser.get("/rules").status_code == 200


@pytest.mark.parametrize("to", ["https://evil.example", "//evil.example", "/\\evil", "/sign-in"])
def test_after_signing_in_one_lands_on_a_page_of_this_app(house, to):
    assert sign_in(browser_on(house), to=to).headers["location"] == "/"


@pytest.mark.parametrize("name", ["ADA@bar.example ", "ada@BAR.example"])
def test_a_name_is_known_however_it_is_written(house, name):
    assert sign_in(browser_on(house), name).status_code == 303


def test_a_password_is_as_it_was_typed_blanks_and_case_included(house):
    for wrong in (PASSWORD.upper(), PASSWORD + " ", PASSWORD[:-1]):
        assert sign_in(browser_on(house), password=wrong).status_code == 422


def test_an_unknown_name_answers_as_a_wrong_password_does(house, monkeypatch):
    looked = []
    real = passwords._hasher()
    monkeypatch.setattr(
        passwords, "_hasher", lambda: type("", (), {"verify": lambda _, kept, typed: looked.append(
            kept) or real.verify(kept, typed), "hash": real.hash})()
    )  # fmt: skip
    answers = [sign_in(browser_on(house), name, "wrong") for name in (ADA, "nobody", ADA)]
    texts = {Page(each).fault("password") for each in answers}
    assert texts == {"This name and this password do not belong together."}
    assert (len(looked), {each.status_code for each in answers}) == (3, {422})


def test_what_was_typed_comes_back_but_for_the_password(house):
    page = Page(sign_in(browser_on(house), password="wrong but long enough", to="/rules"))
    assert page.typed("sign_in") == ADA
    assert [each.get("value") for each in page.all("[name=to]")] == ["/rules", "/rules"]
    assert (page.typed("password"), "wrong but long" in page.root.text_content()) == ("", False)


def test_a_password_manager_is_told_what_the_fields_are(house):
    page = Page(browser_on(house).get("/sign-in"))
    fields = {name: page.one(f"[name={name}]") for name in ("sign_in", "password")}
    told = {name: field.get("autocomplete") for name, field in fields.items()}
    assert told == {"sign_in": "username", "password": "current-password"}
    assert (fields["password"].get("type"), fields["password"].get("maxlength")) == (
        "password",
        None,
    )


def test_a_password_is_hashed_anew_when_the_recommended_costs_change(house, monkeypatch):
    dearer = passwords._hasher().__class__(time_cost=2, memory_cost=64, parallelism=1)
    monkeypatch.setattr(passwords, "_hasher", lambda: dearer)
    assert sign_in(browser_on(house)).status_code == 303
    with house.app.state.database.reading() as session:
        assert "t=2" in passwords.credentials_for(session, ADA).kept


def test_each_sign_in_is_given_a_new_secret_and_the_one_before_ends(house):
    browser = browser_on(house)
    first = secret_in(sign_in(browser))
    kept = browser_on(house, cookies=dict(browser.cookies))
    assert secret_in(sign_in(browser)) != first
    assert (browser.get("/account").status_code, kept.get("/account").status_code) == (200, 303)


def test_a_secret_that_was_planted_is_not_taken_over(house):
    browser = browser_on(house, cookies={"ninefifty-person-80": "planted"})
    assert secret_in(sign_in(browser)) != "planted"


def test_over_https_the_secret_is_bound_to_the_host_and_to_https(house):
    cookie = sign_in(browser_on(house, "https://tablet.lan")).headers["set-cookie"]
    assert cookie.startswith("__Host-ninefifty-person-443=")
    assert {"HttpOnly", "SameSite=lax", "Secure", "Path=/"} <= set(cookie.split("; "))


def test_neither_secret_nor_password_is_stored(house):
    secret = secret_in(sign_in(browser_on(house)))
    kept = all_that_is_kept(house)
    assert secret.encode() not in kept
    assert PASSWORD.encode() not in kept


def test_whoever_signs_out_is_out(house, ada):
    kept = browser_on(house, cookies=dict(ada.cookies))
    assert ada.post("/sign-out").headers["location"] == "/sign-in"
    assert kept.get("/account").status_code == 303


def test_a_sign_in_ends_when_it_is_not_used(house, ada):
    later(house, IDLE_MS)
    assert ada.get("/account").headers["location"] == "/sign-in?to=/account"


def test_who_has_no_account_any_longer_is_out_and_signs_in_no_more(house, ada, bea):
    ada.post(f"/people/{house.app.state.bea.id}/end")
    assert (bea.get("/account").status_code, sign_in(browser_on(house), BEA).status_code) == (
        303,
        422,
    )
    ada.post(f"/people/{house.app.state.bea.id}/back")
    assert sign_in(browser_on(house), BEA).status_code == 303


def wait_until_all_is_heard(house):
    """Until this process has heard what it said itself: of its sign-ins too."""
    notices, heard = house.app.state.door._notices, Event()
    notices.hear("all of it", lambda _: heard.set())
    notices.say("all of it")
    assert heard.wait(20)


def test_where_others_end_sign_ins_unheard_who_asks_is_known_for_five_seconds(house, ada):
    sign_ins = house.app.state.door.sign_ins
    wait_until_all_is_heard(house)
    assert ada.get("/account").status_code == 200
    with house.app.state.database.writing() as session:
        end_sign_ins(session, house.app.state.ada.id, NOW_MS)
    assert ada.get("/account").status_code == 200
    sign_ins.trusted_s = 0
    assert ada.get("/account").status_code == 303


def test_a_sign_in_is_trusted_no_longer_than_a_device_where_processes_share(house):
    door = house.app.state.door
    door.join(SharedNotices())
    assert door.sign_ins.trusted_s == TRUSTED_S == 5


class SharedNotices(OwnNotices):
    is_shared = True


class CountingThrottle:
    def __init__(self):
        self.spent = []

    async def wait_s(self, whose):
        self.spent.append(whose)
        return 0.0

    def give_back(self, whose):
        self.spent.remove(whose)


@pytest.fixture
def throttle(house):
    house.app.state.wrong_passwords = CountingThrottle()
    return house.app.state.wrong_passwords


def test_wrong_passwords_count_against_the_account_and_right_ones_do_not(house, throttle):
    sign_in(browser_on(house), "ADA@bar.example", "wrong")
    sign_in(browser_on(house))
    assert throttle.spent == [ADA]


def test_who_was_signed_in_here_before_does_not_wait_for_others_guesses(house, ada, throttle):
    ada.post("/sign-out")
    sign_in(ada, password="wrong")
    sign_in(browser_on(house), password="wrong")
    own, others = throttle.spent
    assert own.startswith(f"{ADA} at ")
    assert others == ADA


def test_while_too_many_wait_it_is_told_beside_the_field(house):
    throttle = house.app.state.wrong_passwords = Throttle(tries=0, clock=lambda: 0.0)
    with suppress(TooMany):
        while True:
            throttle.turn(ADA)
    answer = sign_in(browser_on(house))
    assert (answer.status_code, "Wait a minute" in answer.text) == (429, True)


def test_pages_say_whether_people_have_accounts_and_who_is_signed_in(house, ada):
    # By it a device tells why marks that lie on it are not sent.
    bodies = [Page(each.get(url)).one("body") for each, url in (
        (browser_on(house), "/sign-in"), (ada, "/"),
    )]  # fmt: skip
    assert [each.get("data-accounts") for each in bodies] == ["", ""]
    assert [each.get("data-person") for each in bodies] == ["", house.app.state.ada.id]
