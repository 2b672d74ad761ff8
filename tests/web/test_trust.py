"""The page by which a device comes to trust the app, and the way from http to https."""

import ssl

import pytest

from server.https.keeper import Keeper
from server.settings import Settings
from tests.web.conftest import app_in
from tests.web.html import Page

FILES = ("ninefifty-authority.crt", "ninefifty-authority.pem")


@pytest.fixture
def secure(tmp_path):
    """A browser that opens by plain http an app that serves https as well."""
    Keeper(Settings(data_dir=tmp_path))
    with app_in(tmp_path, https=True) as client:
        yield client


def test_without_https_the_page_says_how_to_switch_it_on(client):
    page = Page(client.get("/trust"))
    assert page.status == 200
    assert "./run --https" in page.text(".empty")
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


@pytest.mark.parametrize("path", ["/trust", "/static/css/tokens.css", "/healthz"])
def test_what_a_device_needs_first_is_answered_over_http(secure, path):
    assert secure.get(path).status_code == 200


def test_marks_of_a_page_that_was_opened_over_http_are_still_taken(secure):
    assert secure.get("/api/runs/nobody/events").status_code == 404
    typed = {"name": "Evening set", "rules": "rules-house"}
    assert secure.post("/routines", data=typed).headers["location"].endswith("/plan")


def test_a_foreign_name_is_refused_and_not_led_anywhere(secure):
    assert secure.get("/", headers={"Host": "elsewhere.example"}).status_code == 403


def test_over_https_nothing_leads_away(secure):
    answer = secure.get("https://tablet.lan/")
    assert answer.status_code == 200
    assert "strict-transport-security" not in answer.headers
