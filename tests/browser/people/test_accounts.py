"""From the first account to a passkey, on a phone, at the machine itself: localhost is secure."""

import pytest
from playwright.sync_api import expect

from tests.browser.axe import barred_by_axe
from tests.real_server import RealServer

PASSWORD = "three warm oranges"


@pytest.fixture
def here(tmp_path):
    """The address of an app where people are to have accounts, on the machine itself."""
    with RealServer(tmp_path / "data", people=True) as server:
        yield f"http://localhost:{server.port}"


@pytest.fixture
def phone(browser):
    context = browser.new_context(viewport={"width": 360, "height": 640})
    page = context.new_page()
    # A lock of the device's own, as WebDriver's virtual authenticators are: it always agrees.
    devtools = context.new_cdp_session(page)
    devtools.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2", "transport": "internal", "hasResidentKey": True,
        "hasUserVerification": True, "isUserVerified": True,
    }  # fmt: skip
    devtools.send("WebAuthn.addVirtualAuthenticator", {"options": options})
    yield page
    context.close()


def test_a_person_makes_the_first_account_and_a_passkey_and_signs_in_by_it(here, phone):
    phone.goto(here)
    expect(phone.locator("h1")).to_have_text("Make the first account")
    barred = barred_by_axe(phone)
    phone.get_by_label("Your name").fill("Ada")
    phone.get_by_label("Name to sign in by").fill("ada")
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="Make the account").click()
    expect(phone.locator("h1")).to_have_text("Your account")
    phone.get_by_role("link", name="Make a passkey").click()
    phone.get_by_label("Name of the passkey").fill("Ada’s phone")
    phone.get_by_label("Password as it is now").fill(PASSWORD)
    barred += barred_by_axe(phone)
    phone.get_by_role("button", name="Make a passkey").click()
    expect(phone.locator("#passkeys")).to_contain_text("Ada’s phone")
    phone.get_by_role("button", name="Sign out", exact=True).click()
    expect(phone.locator("h1")).to_have_text("Sign in")
    barred += barred_by_axe(phone)
    phone.goto(f"{here}/sign-in?to=/people")
    phone.get_by_role("button", name="Sign in with a passkey").click()
    expect(phone.locator("h1")).to_have_text("People")
    phone.get_by_label("Name").fill("Bea")
    phone.get_by_role("button", name="Make a link").click()
    link = phone.locator("#secret-link").input_value()
    barred += barred_by_axe(phone)
    phone.goto(f"{here}/invited#{link.split('#')[1]}")
    expect(phone.locator("h1")).to_have_text("Make your account")
    assert "#" not in phone.url
    assert barred == []
