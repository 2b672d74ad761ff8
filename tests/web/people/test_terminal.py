"""What the terminal has for people: where the first account is made, and an admin's way back."""

import re

from server.app_server import server_of
from server.let_me_in import let_me_in
from server.settings import Settings
from tests.web.people.conftest import ADA, PASSWORD, browser_on, sign_in


def settings_of(house):
    own = house.app.state.settings
    return Settings(
        data_dir=own.data_dir,
        database=own.database,
        people=True,
        public_url="http://tablet.lan",
    )


def test_an_admin_who_has_lost_all_sets_a_new_password_by_a_link_of_the_terminal(house, capsys):
    let_me_in(settings_of(house))
    said = capsys.readouterr().out
    assert f"“{ADA}”" in said
    secret = re.search(r"http://tablet\.lan/reset#(\S+)", said)[1]
    browser, new = browser_on(house), {"secret": secret, "password": "seven cold kettles"}
    assert browser.post("/reset/password", data=new).status_code == 303
    assert browser.get("/people").status_code == 200
    assert sign_in(browser_on(house)).status_code == 422


def test_where_nobody_has_an_account_yet_the_link_lets_the_owner_in(owner, capsys):
    let_me_in(settings_of(owner))
    said = capsys.readouterr().out
    assert ("Make the first account" in said, "Devices page" in said) == (True, False)
    secret = re.search(r"http://tablet\.lan/in#(\S+)", said)[1]
    browser = browser_on(owner)
    assert browser.post("/in/link", data={"secret": secret}).status_code == 303
    assert browser.get("/").headers["location"] == "/first-account"


def test_the_printed_link_carries_a_secret_only_until_the_first_account_is_made(owner, capsys):
    server = server_of(owner.app, settings_of(owner))
    server.say(8000, None)
    said = capsys.readouterr().out
    assert ("/in#" in said, "leads to the first account" in said) == (True, True)
    account = {"name": "Ada", "sign_in": ADA, "password": PASSWORD}
    assert owner.post("/first-account", data=account).status_code == 303
    server.say(8000, None)
    assert "/in#" not in capsys.readouterr().out
