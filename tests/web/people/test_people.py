"""The admin's page of people: invitations by link, new passwords by link, accounts ended."""

import pytest

from server.store.people import invitations
from server.store.people.invitations import LASTS_MS, invite_person
from tests.factories import NOW_MS
from tests.web.conftest import later
from tests.web.html import Page
from tests.web.people.conftest import BEA, PASSWORD, browser_on, sign_in

CAM = {"name": "Cam", "sign_in": "cam", "password": PASSWORD}


def invited(admin, name="Cam"):
    """The secret of a new invitation."""
    page = Page(admin.post("/people/invite", data={"name": name}))
    return page.one("#secret-link").get("value").split("/invited#")[1]


def test_who_is_invited_sees_by_whom_and_makes_an_account(house, ada):
    secret, browser = invited(ada), browser_on(house)
    page = Page(browser.post("/invited", data={"secret": secret}))
    assert ("Ada invites you" in page.text(".lead"), page.typed("name")) == (True, "Cam")
    answer = browser.post("/invited/account", data=CAM | {"secret": secret})
    assert answer.headers["location"] == "/account?new=yes"
    assert Page(browser.get("/account")).text("#about-me h2") == "Cam"
    assert Page(browser.get("/account?new=yes")).text(".actions .button:not(.quiet)") == "Routines"
    notice = Page(browser.get("/account?new=yes")).text(".notice")
    assert notice.endswith("What is shared with you stands under Routines.")
    assert browser.get("/people").status_code == 403


def test_a_link_that_was_pasted_whole_opens_too(house, ada):
    link = f"https://tablet.lan/invited#{invited(ada)}"
    assert browser_on(house).post("/invited", data={"secret": link}).status_code == 200


def test_an_invitation_is_for_one_person_once(house, ada):
    secret = invited(ada)
    browser_on(house).post("/invited/account", data=CAM | {"secret": secret})
    again = CAM | {"secret": secret, "sign_in": "cam2"}
    assert browser_on(house).post("/invited/account", data=again).status_code == 410
    used = browser_on(house).post("/invited", data={"secret": secret})
    # Whoever kept the link as their way in is led to it.
    assert (used.status_code, Page(used).one("p a[href='/sign-in']") is not None) == (410, True)


def test_an_invitation_ends_after_a_week_or_when_it_is_withdrawn(house, ada):
    late, withdrawn = invited(ada), invited(ada, "Dee")
    (row,) = [each for each in Page(ada.get("/people")).all("li") if "Dee" in each.text_content()]
    ada.post(f"/people/invitations/{row.get('id').removeprefix('invitation-')}/withdraw")
    assert browser_on(house).post("/invited", data={"secret": withdrawn}).status_code == 410
    assert browser_on(house).post("/invited", data={"secret": late}).status_code == 200
    later(house, LASTS_MS)
    assert browser_on(house).post("/invited", data={"secret": late}).status_code == 410


def test_what_is_wrong_comes_back_beside_its_field_with_the_invitation_still_good(house, ada):
    secret, browser = invited(ada), browser_on(house)
    typed = CAM | {"secret": secret, "sign_in": BEA, "password": "short"}
    page = Page(browser.post("/invited/account", data=typed))
    assert (page.typed("name"), page.typed("secret")) == ("Cam", secret)
    assert page.fault("password").startswith("Give at least 12")
    taken = Page(browser.post("/invited/account", data=typed | {"password": PASSWORD}))
    assert taken.fault("sign_in").startswith("This name to sign in by is taken")


def test_what_else_one_is_invited_to_comes_true_with_the_account(house, monkeypatch):
    true = []

    def make_true(_session, who, to, handed_now_ms):
        true.append((who.name, to.document))

    monkeypatch.setattr(invitations, "WHEN_ACCEPTED", (make_true,))
    with house.app.state.database.writing() as session:
        _, secret = invite_person(session, house.app.state.ada.id, "Cam", NOW_MS, '{"coach": "r1"}')
    browser_on(house).post("/invited/account", data=CAM | {"secret": secret})
    assert true == [("Cam", '{"coach": "r1"}')]


def test_a_link_of_the_admins_sets_a_new_password_once(house, ada, bea):
    page = Page(ada.post(f"/people/{house.app.state.bea.id}/reset"))
    secret = page.one("#secret-link").get("value").split("/reset#")[1]
    browser, new = browser_on(house), "seven cold kettles"
    assert "Bea" in browser.post("/reset", data={"secret": secret}).text
    typed = {"secret": secret, "password": new}
    assert browser.post("/reset/password", data=typed | {"password": "x"}).status_code == 422
    assert browser.post("/reset/password", data=typed).headers["location"] == "/account"
    assert (browser.get("/account").status_code, bea.get("/account").status_code) == (200, 303)
    assert browser_on(house).post("/reset/password", data=typed).status_code == 410
    assert sign_in(browser_on(house), BEA).status_code == 422


def test_somebody_else_is_made_admin_and_the_last_one_stays_it(house, ada, bea):
    own, other = house.app.state.ada.id, house.app.state.bea.id
    assert ada.post(f"/people/{own}/admin", data={"is": ""}).status_code == 409
    assert bea.get("/people").status_code == 403
    ada.post(f"/people/{other}/admin", data={"is": "yes"})
    assert bea.get("/people").status_code == 200


def test_no_admin_ends_their_own_account(house, ada):
    assert ada.post(f"/people/{house.app.state.ada.id}/end").status_code == 409
    assert ada.get("/account").status_code == 200


def test_who_is_signed_in_is_told_that_a_new_account_signs_them_out(ada, bea):
    page = Page(bea.post("/invited", data={"secret": invited(ada)}))
    assert "Bea, who has one, is signed in in this browser" in page.text(".lead")


ACTS = ("invite", "x/end", "x/back", "x/admin", "x/reset", "invitations/x/withdraw")


@pytest.mark.parametrize("path", ACTS)
def test_only_an_admin_says_who_has_an_account(bea, path):
    assert bea.post(f"/people/{path}").status_code == 403


def test_who_is_not_there_is_not_found(ada):
    for act in ("end", "back", "admin", "reset"):
        assert ada.post(f"/people/nobody/{act}").status_code == 404


def test_an_admin_invites_before_a_list_of_everybody(house, ada):
    invited(ada)
    titles = Page(ada.get("/people")).texts("section > h2")
    assert titles == ["Invite somebody", "Not accepted yet", "Who has an account"]
