"""A password that many have is refused wherever one is set, and nothing else is lost by it."""

from tests.web.html import Page
from tests.web.people.conftest import ADA, PASSWORD, browser_on, sign_in

COMMON = "SonyEricsson"
SAYS = "This is one of those that are tried first."


def test_the_first_account_is_made_with_no_common_password(owner):
    typed = {"name": "Ada", "sign_in": ADA}
    page = Page(owner.post("/first-account", data=typed | {"password": COMMON}))
    assert page.fault("password").startswith(SAYS)
    assert {name: page.typed(name) for name in typed} == typed
    assert owner.post("/first-account", data=typed | {"password": PASSWORD}).status_code == 303


def test_an_invitation_is_not_used_up_by_a_common_password(house, ada):
    sent = Page(ada.post("/people/invite", data={"name": "Cam"}))
    secret = sent.one("#secret-link").get("value").split("/invited#")[1]
    typed, browser = {"name": "Cam", "sign_in": "cam", "secret": secret}, browser_on(house)
    page = Page(browser.post("/invited/account", data=typed | {"password": COMMON}))
    assert page.fault("password").startswith(SAYS)
    assert {name: page.typed(name) for name in typed} == typed
    answer = browser.post("/invited/account", data=typed | {"password": PASSWORD})
    assert answer.status_code == 303


def test_no_password_is_changed_or_set_anew_to_a_common_one(house, ada):
    (code, *_) = Page(ada.post("/account/codes", data={"present": PASSWORD})).texts("code")
    link = Page(ada.post(f"/people/{house.app.state.bea.id}/reset")).one("#secret-link")
    for browser, path, typed in (
        (ada, "/account/password", {"present": PASSWORD}),
        (browser_on(house), "/recover", {"sign_in": ADA, "code": code}),
        (browser_on(house), "/reset/password", {"secret": link.get("value").split("#")[1]}),
    ):
        page = Page(browser.post(path, data=typed | {"password": COMMON}))
        assert page.fault("password").startswith(SAYS), path
        again = browser.post(path, data=typed | {"password": "seven cold kettles"})
        assert again.status_code == 303, path
    assert sign_in(browser_on(house), password="seven cold kettles").status_code == 303
