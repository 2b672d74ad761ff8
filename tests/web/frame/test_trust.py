"""The page by which a device comes to trust the app, and the way from http to https."""

import ssl
from contextlib import contextmanager

import pytest

from server.https.renewing import Keeper
from server.settings import Settings
from tests.web.conftest import app_in
from tests.web.html import Page

FILES = ("ninefifty-authority.crt", "ninefifty-authority.pem")


@pytest.fixture
def secure(tmp_path):
    """A browser that opens by plain http an app that serves https as well."""
    with opened(tmp_path, "tablet.lan") as client:
        yield client


@contextmanager
def opened(folder, *names, given=None):
    """An app with https whose certificate was made for `names`; later it was `given` others."""
    Keeper(Settings(data_dir=folder, extra_hosts=names))
    with app_in(folder, https=True, extra_hosts=names if given is None else given) as client:
        yield client


@pytest.mark.parametrize(
    ("host", "advice"),
    [
        ("8.8.4.4", "vouches for private addresses only"),
        ("[2001:4860::8844]", "vouches for private addresses only"),
        ("bar.example", "Move the folder https"),
        ("other.lan", "NINEFIFTY_HOSTS=other.lan ./run --https"),
    ],
)
def test_under_a_name_the_certificate_lacks_http_stays_and_says_why(tmp_path, host, advice):
    with opened(tmp_path, "tablet.lan", given=("bar.example",)) as client:
        here = {"Host": f"{host}:8000"}
        assert client.get("/", headers=here).status_code == 200
        told = Page(client.get("/trust", headers=here)).text("section:has(#uncovered-title)")
        assert advice in told
        assert host.strip("[]") in told
        assert "https://tablet.lan:8443/" in told


def test_under_a_name_the_certificate_has_there_is_nothing_to_explain(secure):
    assert Page(secure.get("/trust")).all("#uncovered-title") == []


def test_without_https_the_page_says_how_to_switch_it_on(client):
    page = Page(client.get("/trust"))
    assert page.status == 200
    assert "./run --https" in page.text(".empty")
    # W3C Secure Contexts 3.1: an address of the computer itself is potentially trustworthy.
    assert page.text(".lead").startswith("On any device but the computer itself, browsers let")
    assert page.all("a[download]") == []


@pytest.mark.parametrize("file", FILES)
def test_without_https_there_is_no_certificate_to_load(client, file):
    assert client.get(f"/trust/{file}").status_code == 404


def test_the_page_offers_the_certificate_with_its_fingerprint(secure):
    page = Page(secure.get("/trust"))
    assert [link.get("href") for link in page.all("a[download]")] == [
        f"/trust/{file}" for file in FILES
    ]
    pairs = page.text(".fingerprint").split(":")
    assert (len(pairs), {len(pair) for pair in pairs}) == (32, {2})


def test_both_files_hold_the_same_certificate_and_no_key(secure, tmp_path):
    first, second = (secure.get(f"/trust/{file}") for file in FILES)
    assert first.headers["content-type"] == "application/x-x509-ca-cert"
    assert ssl.DER_cert_to_PEM_cert(first.content).split() == second.text.split()
    assert "PRIVATE" not in second.text


@pytest.mark.parametrize("path", ["/", "/rules", "/routines/nobody/plan"])
def test_a_page_over_http_leads_to_https(secure, path):
    answer = secure.get(path)
    assert (answer.status_code, answer.headers["cache-control"]) == (307, "no-store")
    assert answer.headers["location"] == f"https://tablet.lan:8443{path}"


@pytest.mark.parametrize("path", ["/trust", "/static/css/frame/tokens.css", "/healthz"])
def test_what_a_device_needs_first_is_answered_over_http(secure, path):
    assert secure.get(path).status_code == 200


def test_marks_of_a_page_that_was_opened_over_http_are_still_taken(secure):
    assert secure.get("/api/runs/nobody/events").status_code == 404
    typed = {"name": "Evening set", "rules": "rules-house"}
    assert secure.post("/routines", data=typed).headers["location"].startswith("/routines/")


def test_a_foreign_name_is_refused_and_not_led_anywhere(secure):
    assert secure.get("/", headers={"Host": "elsewhere.example"}).status_code == 403


def test_over_https_nothing_leads_away(secure):
    answer = secure.get("https://tablet.lan/")
    assert answer.status_code == 200
    assert "strict-transport-security" not in answer.headers
