"""How a device comes in: this machine itself, the link of the terminal, a code of the owner's."""

import pytest
from fastapi import Request

from server.domain.runs.events import event_document
from server.settings import Settings
from server.store.between.codes import LASTS_MS
from server.store.devices import LINK_LASTS_MS, invite
from server.web.devices.enter import local_path
from server.web.devices.naming import device_name
from server.web.frame.reach import is_here
from tests.factories import NOW_MS, make_events, make_routine
from tests.web.conftest import ORIGIN, app_in, later
from tests.web.html import Page
from tests.web.shelf import all_that_is_kept, keep, keep_run

HERE = {"origin": "http://localhost:8000", "client": ("127.0.0.1", 4000)}


def link_of(client):
    return client.app.state.door.link_secret


def code_of(client, role):
    client.post("/devices/code", data={"role": role})
    return Page(client.get("/devices")).text("#code")


def enter(browser, code, **more):
    return browser.post("/in", data={"code": code, **more})


def take_all_but_own(client):
    forms = Page(client.get("/devices")).all("form")
    for form in forms:
        if (form.get("action") or "").endswith("/take"):
            client.post(form.get("action"))


# On the machine itself


@pytest.mark.parametrize("origin", ["http://localhost:8000", "http://127.0.0.1", "http://[::1]:80"])
@pytest.mark.parametrize("peer", ["127.0.0.1", "::1", "::ffff:127.0.0.1"])
def test_a_browser_on_the_machine_itself_is_the_owners(arrive, origin, peer):
    assert arrive(origin, client=(peer, 4000)).get("/devices").status_code == 200


@pytest.mark.parametrize(
    ("origin", "peer"),
    [
        ("http://localhost", "192.0.2.7"),
        ("http://tablet.lan", "127.0.0.1"),
        ("http://192.168.1.20:8000", "127.0.0.1"),
    ],
)
def test_neither_a_name_nor_a_way_alone_makes_the_owner(arrive, origin, peer):
    assert arrive(origin, client=(peer, 4000)).get("/devices").status_code == 403


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded", "X-Real-IP", "Via"])
def test_what_a_proxy_forwards_is_not_from_the_machine_itself(arrive, header):
    browser = arrive(**HERE, headers={header: "127.0.0.1"})
    assert browser.get("/devices").status_code == 403


def asked(*hosts, version="1.1"):
    headers = [(b"host", host) for host in hosts]
    more = {"server": ("127.0.0.1", 8000), "path": "/", "query_string": b"", "scheme": "http"}
    scope = {"type": "http", "http_version": version, "headers": headers, **more}
    return Request(scope | {"client": ("127.0.0.1", 4000)})


@pytest.mark.parametrize(
    "hosts",
    [(), (b"",), (b"\x80abc",), (b"localhost@bar.example",), (b"localhost", b"bar.example"),
     (b"localhost:80, bar.example",), (b"[::1",)],
)  # fmt: skip
def test_a_name_that_no_browser_asks_by_makes_no_owner(hosts):
    assert is_here(asked(b"localhost:8000"))
    assert not is_here(asked(*hosts))


def test_a_proxy_that_nobody_set_up_makes_no_owner():
    # As some do it by default: the name of the app itself, no word of whom they ask for.
    assert not is_here(asked(b"127.0.0.1:8000", version="1.0"))


def test_behind_a_public_address_nobody_is_the_owner_unasked(tmp_path, arrive):
    with app_in(tmp_path / "other", public_url="https://bar.example") as client:
        client.cookies.clear()
        client.base_url = "http://localhost"
        assert client.app.state.door.trusts_here is False
        assert client.get("/devices").status_code == 403


def test_an_open_door_lets_everybody_do_everything(tmp_path):
    with app_in(tmp_path, open=True) as client:
        client.cookies.clear()
        assert "The door is open" in client.get("/devices").text
        assert client.get("/recordings").status_code == 200
    assert not Settings().open


# The page that all others meet


def test_a_stranger_meets_one_page_that_asks_to_be_let_in_or_to_join(stranger):
    answer = stranger.get("/routines/r1/script")
    page = Page(answer)
    assert (page.status, page.text("h1")) == (403, "This device is not let in")
    assert page.typed("to", "/in") == "/routines/r1/script"
    assert page.one("a[href='/join']") is not None
    assert "Recordings" not in answer.text


def test_a_page_that_is_open_stays_as_it_is_when_its_device_is_taken_out(stranger):
    answer = stranger.post("/routines/r1/script", headers={"HX-Request": "true"})
    assert (answer.status_code, answer.headers["HX-Reswap"]) == (403, "none")
    assert "not let in" in answer.text


# The link


def test_whoever_opens_the_link_of_the_terminal_is_the_owner(client, stranger):
    answer = stranger.post("/in/link", data={"secret": link_of(client)})
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert stranger.get("/recordings").status_code == 200


def test_the_secret_of_a_device_is_out_of_reach_of_scripts_and_is_stored_nowhere(client, stranger):
    answer = stranger.post("/in/link", data={"secret": link_of(client)})
    cookie = answer.headers["set-cookie"]
    token = cookie.split("=", 1)[1].split(";")[0]
    assert {"HttpOnly", "SameSite=lax", "Path=/"} <= set(cookie.split("; "))
    kept = all_that_is_kept(client)
    assert token.encode() not in kept
    assert link_of(client).encode() not in kept


def test_over_https_the_cookie_is_bound_to_the_host_and_to_https(arrive, client):
    browser = arrive("https://tablet.lan:8443")
    cookie = browser.post("/in/link", data={"secret": link_of(client)}).headers["set-cookie"]
    assert cookie.startswith("__Host-ninefifty-device-8443=")
    assert "Secure" in cookie.split("; ")
    assert browser.get("/recordings").status_code == 200


def test_a_link_from_the_terminal_replaces_a_lost_device_once_and_for_a_while(client, arrive):
    with client.app.state.database.writing() as session:
        secret, late = invite(session, "mine", NOW_MS), invite(session, "mine", NOW_MS)
    assert arrive().post("/in/link", data={"secret": secret}).status_code == 303
    again = arrive().post("/in/link", data={"secret": secret})
    assert (again.status_code, "opens no longer" in again.text) == (422, True)
    later(client, LINK_LASTS_MS)
    assert arrive().post("/in/link", data={"secret": late}).status_code == 422


def test_a_stranger_cannot_make_a_link_up(stranger):
    assert stranger.post("/in/link", data={"secret": "x" * 22}).status_code == 422
    assert stranger.post("/in/link").status_code == 422


# The code


@pytest.mark.parametrize(("role", "recordings"), [("mine", 200), ("helper", 403)])
def test_a_code_lets_in_as_what_was_chosen(client, stranger, role, recordings):
    answer = enter(stranger, code_of(client, role).lower(), to="/rules")
    assert (answer.status_code, answer.headers["location"]) == (303, "/rules")
    assert stranger.get("/").status_code == 200
    assert stranger.get("/recordings").status_code == recordings


def test_a_code_is_for_one_device_and_ten_minutes(client, arrive):
    code = code_of(client, "mine")
    assert enter(arrive(), code).status_code == 303
    assert enter(arrive(), code).status_code == 422
    code = code_of(client, "mine")
    later(client, LASTS_MS)
    assert enter(arrive(), code).status_code == 422


def test_a_closed_code_opens_no_longer_and_a_new_one_takes_its_place(client, arrive):
    old = code_of(client, "mine")
    new = code_of(client, "mine")
    assert enter(arrive(), old).status_code == 422
    client.post("/devices/code/close")
    assert enter(arrive(), new).status_code == 422


def test_a_wrong_code_is_told_beside_its_field(stranger):
    page = Page(enter(stranger, "AAAAAAAA", to="/rules"))
    assert page.fault("code", "/in").startswith("Nothing opens to this code.")
    assert (page.typed("code", "/in"), page.typed("to", "/in")) == ("AAAAAAAA", "/rules")


def test_the_code_to_scan_leads_to_the_door_and_is_behind_the_sign_that_no_server_hears(client):
    code_of(client, "helper")
    image = client.get("/devices/code.svg")
    assert image.headers["content-type"] == "image/svg+xml"
    assert ORIGIN in client.get("/devices").text


@pytest.mark.parametrize(
    "path", ["//evil.example", "/\\evil.example", "https://x", "", "/in", "/\n"]
)
def test_after_the_door_one_lands_on_a_page_of_this_app(path):
    assert local_path(path) == "/"


# The page of devices


def test_a_device_is_listed_with_its_name_and_taken_out_by_one_touch(client, arrive):
    phone = arrive(headers={"User-Agent": "Mozilla/5.0 (iPad) Safari/604.1"})
    enter(phone, code_of(client, "helper"))
    page = Page(client.get("/devices"))
    assert "iPad, Safari" in page.text("ul.rows")
    (form,) = [f for f in page.all("form") if (f.get("action") or "").endswith("/take")]
    answer = client.post(form.get("action"))
    assert phone.get("/").status_code == 403
    notice = Page(client.get(answer.headers["location"]))
    client.post(notice.one(".notice form").get("action"))
    assert phone.get("/").status_code == 200


def test_the_device_one_holds_is_taken_out_only_after_a_question(client):
    page = Page(client.get("/devices"))
    assert [f for f in page.all("form") if (f.get("action") or "").endswith("/take")] == []
    own = page.one("a[aria-label^='Take out']").get("href")
    (form,) = [
        f for f in Page(client.get(own)).all("form") if (f.get("action") or "").endswith("/take")
    ]
    client.post(form.get("action"))
    assert client.get("/").status_code == 403


def test_a_device_can_be_called_something_else(client):
    page = Page(client.get("/devices"))
    path = page.one("a[aria-label^='Rename']").get("href").replace("?edit=", "/")
    assert client.post(path, data={"name": " "}).status_code == 422
    client.post(path, data={"name": "Bar tablet"})
    assert "Bar tablet" in Page(client.get("/devices")).text("ul.rows")


def test_a_device_that_is_let_in_again_is_the_one_it_was(client, stranger):
    keep(client)
    path = f"/api/runs/{keep_run(client, make_routine(), events=())}/events"
    start, done, *_ = [event_document(event) for event in make_events({"s1": 61})]
    enter(stranger, code_of(client, "mine"))
    stranger.post(path, json={"events": [start]})
    take_all_but_own(client)
    assert stranger.post(path, json={"events": [done]}).status_code == 403
    enter(stranger, code_of(client, "helper"))
    assert stranger.post(path, json={"events": [done]}).json()["accepted"] == [done["id"]]


@pytest.mark.parametrize(
    ("says", "name"),
    [
        ("Mozilla/5.0 (Linux; Android 14) Chrome/126.0 Safari/537.36", "Android tablet, Chrome"),
        ("Mozilla/5.0 (Linux; Android 14) Chrome/126.0 Mobile Safari", "Android phone, Chrome"),
        ("Mozilla/5.0 (Windows NT 10.0) Chrome/126 Safari/537 Edg/126", "Windows computer, Edge"),
        ("Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Firefox/128.0", "Linux computer, Firefox"),
        ("", "Device"),
    ],
)
def test_a_device_is_named_by_what_it_says_of_itself(says, name):
    assert device_name(says) == name


def test_whoever_comes_to_the_wrong_place_with_a_code_is_led_to_the_right_one(stranger):
    door = Page(stranger.get("/"))
    assert [door.one(f"main a[href='{way}']").text for way in ("/join", "/taste")] == [
        "Join a run",
        "Taste a drink",
    ]
    assert Page(stranger.get("/join")).one("main a[href='/taste']").text == "Taste a drink"
    assert Page(stranger.get("/taste")).one("main a[href='/join']").text == "Watch a run"
