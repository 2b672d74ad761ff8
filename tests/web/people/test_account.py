"""One's own account: names, password, recovery codes, and where one is signed in."""

from tests.web.html import Page
from tests.web.people.conftest import ADA, BEA, PASSWORD, browser_on, sign_in
from tests.web.shelf import all_that_is_kept

NEW = "seven cold kettles"


def change(browser, **more):
    return browser.post(
        "/account/password", data={"present": PASSWORD, "password": NEW, "others": "yes", **more}
    )


def test_a_password_is_changed_with_the_present_one_only(house, ada):
    page = Page(change(ada, present="something else"))
    assert page.fault("present") == "This is not your present password."
    assert change(ada).status_code == 303
    assert sign_in(browser_on(house)).status_code == 422
    assert sign_in(browser_on(house), password=NEW).status_code == 303


def test_a_change_of_password_ends_the_other_sign_ins_where_that_is_chosen(house, ada):
    other = browser_on(house)
    sign_in(other)
    change(ada, others="")
    assert other.get("/account").status_code == 200
    change(ada, present=NEW, password=PASSWORD)
    assert (ada.get("/account").status_code, other.get("/account").status_code) == (200, 303)


def test_a_password_that_will_not_do_is_refused_beside_its_field(ada):
    page = Page(change(ada, password="ada@bar.example1"))
    assert page.fault("password").startswith("This is one of those")
    assert PASSWORD not in page.root.text_content()


def test_one_is_called_something_else(house, ada):
    taken = Page(ada.post("/account", data={"name": "Ada L.", "sign_in": "bea"}))
    assert taken.fault("sign_in").startswith("This name to sign in by is taken")
    assert taken.typed("name") == "Ada L."
    ada.post("/account", data={"name": "Ada L.", "sign_in": "ada"})
    assert "Ada L." in ada.get("/account").text
    assert sign_in(browser_on(house), "ada").status_code == 303


def test_ten_codes_are_shown_once_and_each_sets_a_new_password_once(house, ada):
    shown = Page(ada.post("/account/codes", data={"present": PASSWORD}))
    codes = shown.texts(".recovery code")
    assert (len(set(codes)), {len(each) for each in codes}) == (10, {29})
    lost = browser_on(house)
    # Without --people that command lets a device in, which opens nothing here.
    assert "./run --people let-me-in" in Page(lost.get("/recover")).text("main")
    typed = {"sign_in": ADA, "code": codes[3].lower().replace("-", " "), "password": NEW}
    assert lost.post("/recover", data=typed).status_code == 303
    assert (lost.get("/account").status_code, ada.get("/account").status_code) == (200, 303)
    assert "9 codes not used yet" in lost.get("/account").text
    again = Page(browser_on(house).post("/recover", data=typed))
    assert again.fault("code").startswith("This name and this code do not belong together")


def test_a_code_is_one_persons_and_is_not_used_up_by_a_password_that_will_not_do(house, ada):
    (code, *_) = Page(ada.post("/account/codes", data={"present": PASSWORD})).texts("code")
    lost = browser_on(house)
    typed = {"sign_in": ADA, "code": code, "password": NEW}
    assert lost.post("/recover", data=typed | {"sign_in": BEA}).status_code == 422
    assert lost.post("/recover", data=typed | {"sign_in": "nobody"}).status_code == 422
    assert Page(lost.post("/recover", data=typed | {"password": "short"})).typed("code") == code
    assert lost.post("/recover", data=typed).status_code == 303


def test_new_codes_end_those_before_and_are_kept_as_hashes_alone(house, ada):
    old, new = (
        Page(ada.post("/account/codes", data={"present": PASSWORD})).texts("code") for _ in "ab"
    )
    typed = {"sign_in": ADA, "password": NEW}
    assert browser_on(house).post("/recover", data=typed | {"code": old[0]}).status_code == 422
    kept = all_that_is_kept(house)
    assert new[0].encode() not in kept
    assert browser_on(house).post("/recover", data=typed | {"code": new[0]}).status_code == 303


def test_who_has_no_codes_is_told_who_else_lets_them_in_and_who_has_that_new_ones_end_them(
    ada, bea
):
    about = "#codes .about"
    assert "./run --people let-me-in" in Page(ada.get("/account")).text(about)
    assert "only an admin lets you" in Page(bea.get("/account")).text(about)
    ada.post("/account/codes", data={"present": PASSWORD})
    assert "open no longer" in Page(ada.get("/account?edit=codes")).text("#codes form")


def test_codes_are_made_with_the_present_password_only(ada):
    assert Page(ada.post("/account/codes", data={"present": "x"})).fault("present")


def test_ones_browsers_are_listed_and_one_is_signed_out_by_one_touch(house, ada):
    phone = browser_on(house, headers={"User-Agent": "Mozilla/5.0 (iPhone) Safari/604.1"})
    sign_in(phone)
    page = Page(ada.get("/account"))
    assert page.texts("#devices h3") == ["Device (this one)", "iPhone, Safari"]
    ada.post(page.one("#devices li form").get("action"))
    assert (phone.get("/account").status_code, ada.get("/account").status_code) == (303, 200)


def test_all_other_browsers_are_signed_out_at_once(house, ada, bea):
    others = [browser_on(house) for _ in range(2)]
    for each in others:
        sign_in(each)
    ada.post("/account/devices/others/end")
    shown = [each.get("/account").status_code for each in (*others, ada, bea)]
    assert shown == [303, 303, 200, 200]


def test_nobody_signs_another_out(house, ada, bea):
    key = Page(bea.get("/account")).one("#devices li").get("id").removeprefix("device-")
    assert ada.post(f"/account/devices/{key}/end").status_code == 404
    assert bea.get("/account").status_code == 200


def test_the_page_of_devices_leads_to_ones_own(ada):
    assert ada.get("/devices").headers["location"] == "/account"
    assert ada.post("/devices/code", data={"role": "mine"}).status_code == 404
