"""An organisation's own sign-in: who comes in by it, and which answers are not accepted."""

import hmac
import time
from dataclasses import replace

import httpx2
import pytest
from joserfc.jwk import RSAKey

from server.domain.whole.exchange import to_json
from server.store.people.identities import person_known_as
from server.store.people.invitations import invite_person
from server.store.sharing.inviting import OfferedShare
from server.store.sharing.shares import give_share, grants_on
from server.web.frame.dependencies import handed_now_ms
from server.web.people.provider import Provider
from tests.factories import NOW_MS
from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.people.authenticator import b64
from tests.web.people.conftest import ADA, BEA, PASSWORD, browser_on, make_two, sign_in
from tests.web.people.fake_provider import CLIENT, ISSUER, FakeProvider
from tests.web.shelf import keep

NOT_ACCEPTED = "was not accepted"


@pytest.fixture
def fake():
    return FakeProvider()


@pytest.fixture
def house(tmp_path, fake):
    """An app that knows the sign-in of an organisation; everybody there comes in."""
    settings = {"oidc_issuer": ISSUER, "oidc_client_id": CLIENT, "oidc_all": True}
    with app_in(tmp_path, people=True, **settings) as client:
        app = client.app
        app.state.oidc = Provider(app.state.settings, httpx2.ASGITransport(fake.app))
        app.dependency_overrides[handed_now_ms] = lambda: time.time_ns() // 1_000_000
        make_two(client)
        yield client


def only_invited(house):
    house.app.state.settings = replace(house.app.state.settings, oidc_all=False)


def come(browser, fake, to="/rules", more=""):
    """Sign in there and come back; the answer to that."""
    state = fake.authorize(browser.get(f"/sign-in/oidc?to={to}{more}").headers["location"])
    return browser.get(f"/sign-in/oidc/back?code=c&state={state}")


def come_invited(browser, fake, secret):
    """Open an invitation and go on from its page to the organisation's sign-in."""
    shown = Page(browser.post("/invited", data={"secret": secret}))
    more = shown.one("a[href^='/sign-in/oidc']").get("href").partition("/account")[2]
    return come(browser, fake, "/account", more)


def invite(house, document=None):
    """An invitation by Ada; its secret."""
    with house.app.state.database.writing() as session:
        now_ms = time.time_ns() // 1_000_000
        return invite_person(session, house.app.state.ada.id, "Cam", now_ms, document)[1]


def tie(browser, fake):
    """Tie the organisation's sign-in to the account that is signed in; the answer at the end."""
    began = browser.post("/api/organisation/tie", json={"present": PASSWORD})
    state = fake.authorize(began.json()["to"])
    return browser.get(f"/sign-in/oidc/back?code=c&state={state}")


def named(browser):
    return Page(browser.get("/account")).text("#about-me h2")


def test_whom_the_organisation_knows_comes_in_as_the_same_person_each_time(house, fake):
    first = browser_on(house)
    answer = come(first, fake)
    assert (answer.status_code, answer.headers["location"]) == (303, "/rules")
    again = browser_on(house)
    come(again, fake)
    names = {Page(each.get("/account")).text("#about-me") for each in (first, again)}
    assert len(names) == 1


def test_a_person_is_known_by_issuer_and_subject_never_by_mail(house, fake):
    browser = browser_on(house)
    come(browser, fake)
    about = Page(browser.get("/account")).text("#about-me")
    assert "Cam" in about
    assert f"signs in as {ADA}-2" in about


def test_another_subject_with_the_same_mail_is_another_person(house, fake):
    one, other = browser_on(house), browser_on(house)
    come(one, fake)
    fake.says = {"sub": "s-2"}
    come(other, fake)
    texts = {Page(each.get("/account")).text("#about-me .about") for each in (one, other)}
    assert len(texts) == 2


def test_only_who_is_invited_comes_in_where_that_is_set(house, fake):
    only_invited(house)
    browser = browser_on(house)
    refused = come(browser, fake)
    told = Page(refused).text(".organisation-way")
    assert (refused.status_code, "nobody here has invited you" in told) == (422, True)
    assert come_invited(browser, fake, invite(house)).status_code == 303
    fake.says = {"sub": "s-2"}
    browser.post("/sign-out")
    assert come(browser, fake).status_code == 422


def test_an_invitation_counts_only_on_the_way_on_from_its_own_page(house, fake):
    only_invited(house)
    browser = browser_on(house)
    browser.post("/invited", data={"secret": invite(house)})
    assert come(browser, fake).status_code == 422


def test_who_is_invited_where_another_is_signed_in_comes_in_as_themselves(house, fake):
    # A tablet that many use: else the admin's account would be theirs from then on.
    tablet = browser_on(house)
    sign_in(tablet)
    come_invited(tablet, fake, invite(house))
    assert named(tablet) == "Cam"
    come(tablet, fake)
    assert named(tablet) == "Cam"


def test_who_is_known_already_gets_what_an_invitation_shares_unless_they_have_more(house, fake):
    keep(house)
    with house.app.state.database.writing() as session:
        give_share(session, "r1", house.app.state.ada.id, "owner", NOW_MS)
    browser = browser_on(house)
    come(browser, fake)
    for standing, gets in (("coach", "study"), ("viewer", "study")):
        offered = to_json(OfferedShare("r1", standing, hears=False))
        assert come_invited(browser_on(house), fake, invite(house, offered)).status_code == 303
        with house.app.state.database.reading() as session:
            known = person_known_as(session, ISSUER, "s-1")
            assert gets in grants_on(session, known, "r1")


def test_one_ties_it_to_ones_account_by_the_password_and_comes_in_by_it_from_then_on(house, fake):
    browser, again = browser_on(house), browser_on(house)
    sign_in(browser)
    refused = browser.post("/api/organisation/tie", json={"present": "not it"})
    assert (
        refused.status_code,
        "not your present" in refused.json()["error"]["faults"][0]["message"],
    ) == (422, True)
    answer = tie(browser, fake)
    assert (answer.status_code, answer.headers["location"]) == (303, "/account")
    come(again, fake)
    assert named(again) == "Ada"
    assert "too" in Page(again.get("/account")).text("#organisation")


def test_what_is_tied_to_one_account_is_tied_to_no_other(house, fake):
    browser = browser_on(house)
    come(browser, fake)
    sign_in(browser)
    answer = tie(browser, fake)
    assert (answer.status_code, "Somebody else here" in answer.text) == (422, True)
    assert named(browser) == "Ada"


def test_it_is_tied_to_nobody_else_who_signed_in_meanwhile(house, fake):
    browser = browser_on(house)
    sign_in(browser)
    state = fake.authorize(
        browser.post("/api/organisation/tie", json={"present": PASSWORD}).json()["to"]
    )
    sign_in(browser, BEA)
    assert browser.get(f"/sign-in/oidc/back?code=c&state={state}").status_code == 422
    assert "not know" in Page(browser.get("/account")).text("#organisation")


def test_who_turns_back_there_is_told_so_and_gets_where_they_wanted_next_time(house, fake):
    browser = browser_on(house)
    state = fake.authorize(browser.get("/sign-in/oidc?to=/rules").headers["location"])
    answer = browser.get(f"/sign-in/oidc/back?error=access_denied&state={state}")
    assert (answer.status_code, "turned back" in answer.text) == (422, True)
    assert Page(answer).one("[action='/sign-in'] [name=to]").get("value") == "/rules"


def test_whose_account_is_ended_does_not_come_in(house, fake):
    browser, admin = browser_on(house), browser_on(house)
    come(browser, fake)
    sign_in(admin)
    row = next(e for e in Page(admin.get("/people")).all("li") if "Cam" in e.text_content())
    admin.post(f"/people/{row.get('id').removeprefix('person-')}/end")
    assert come(browser_on(house), fake).status_code == 422


@pytest.mark.parametrize(
    "says",
    [
        {"nonce": "another"},
        {"nonce": None},
        {"aud": "another app"},
        {"iss": "https://another.example"},
        {"exp": 1},
        {"exp": None},
        {"sub": None},
        {"azp": "another app"},
    ],
    ids=str,
)
def test_a_token_that_does_not_say_what_it_must_is_not_accepted(house, fake, says):
    fake.says = says
    browser = browser_on(house)
    answer = come(browser, fake)
    assert (answer.status_code, NOT_ACCEPTED in answer.text) == (422, True)
    assert browser.get("/account").status_code == 303


def test_a_token_signed_by_another_key_is_not_accepted(house, fake):
    fake.signing_key = RSAKey.generate_key(2048, {"kid": "one"})
    assert come(browser_on(house), fake).status_code == 422


def test_a_token_signed_with_what_both_know_is_not_accepted(house, fake, monkeypatch):
    signed = fake.id_token

    def confused():
        _, claims, _ = signed().split(".")
        header = b64(b'{"alg":"HS256","kid":"one"}')
        told = f"{header}.{claims}"
        secret = fake.key.as_pem(private=False)
        return f"{told}.{b64(hmac.digest(secret, told.encode(), 'sha256'))}"

    monkeypatch.setattr(fake, "id_token", confused)
    assert come(browser_on(house), fake).status_code == 422


def test_a_token_that_nobody_signed_is_not_accepted(house, fake, monkeypatch):
    signed = fake.id_token

    def unsigned():
        _, claims, _ = signed().split(".")
        return f"eyJhbGciOiJub25lIn0.{claims}."

    monkeypatch.setattr(fake, "id_token", unsigned)
    assert come(browser_on(house), fake).status_code == 422


def test_a_state_is_good_once_and_where_it_was_begun(house, fake):
    browser, other = browser_on(house), browser_on(house)
    state = fake.authorize(browser.get("/sign-in/oidc").headers["location"])
    back = f"/sign-in/oidc/back?code=c&state={state}"
    kept = dict(browser.cookies)
    assert other.get(back).status_code == 422
    assert browser.get(back).status_code == 303
    assert browser_on(house, cookies=kept).get(back).status_code == 422


def test_another_state_is_not_accepted(house, fake):
    browser = browser_on(house)
    fake.authorize(browser.get("/sign-in/oidc").headers["location"])
    assert browser.get("/sign-in/oidc/back?code=c&state=another").status_code == 422


def test_a_provider_that_calls_itself_something_else_is_not_asked_on(house, fake):
    fake.issuer = "https://another.example"
    answer = browser_on(house).get("/sign-in/oidc")
    assert (answer.status_code, "does not answer as it should" in answer.text) == (422, True)


def test_where_none_is_set_there_is_none(tmp_path):
    with app_in(tmp_path, people=True) as client:
        assert browser_on(client).get("/sign-in/oidc").status_code == 404
        assert "organisation" not in browser_on(client).get("/sign-in").text
