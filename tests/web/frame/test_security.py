import pytest

from server.web.frame.layers.security import HEADERS
from tests.web.conftest import ORIGIN, app_in

FORM = {"name": "Mine", "rules": "nobody"}


def status(client, headers, method="POST"):
    """What a form is answered with that comes with these headers, and no other."""
    # A form that got through is answered 422, because it names no rule sheet.
    request = client.build_request(method, "/routines", data=FORM)
    for name in ("origin", "sec-fetch-site"):
        request.headers.pop(name, None)
    request.headers.update(headers)
    return client.send(request).status_code


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": ORIGIN},
        {"Sec-Fetch-Site": "same-origin"},
        {"Sec-Fetch-Site": "same-origin", "Origin": ORIGIN},
        {"Sec-Fetch-Site": "none"},
    ],
)
def test_a_form_of_our_own_page_is_taken(client, headers):
    assert status(client, headers) == 422


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "http://elsewhere.example"},
        {"Origin": "http://tablet.lan.elsewhere.example"},
        {"Origin": "http://tablet.lan:8001"},
        {"Origin": "tablet.lan@elsewhere.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "cross-site", "Origin": ORIGIN},
        {"Sec-Fetch-Site": ""},
    ],
)
def test_a_form_from_elsewhere_or_from_nowhere_is_refused(client, headers):
    assert status(client, headers) == 403


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "BREW"])
def test_only_reading_needs_no_origin(client, method):
    assert status(client, {}, method) == 403


def test_a_page_may_be_opened_from_elsewhere(client):
    came_by_link = {"Sec-Fetch-Site": "cross-site", "Referer": "http://elsewhere.example/"}
    assert client.get("/", headers=came_by_link).status_code == 200


def test_marks_from_elsewhere_are_refused(client):
    answer = client.post(
        "/api/runs/x/events", json={"events": []}, headers={"Origin": "http://elsewhere.example"}
    )
    assert answer.status_code == 403
    assert "another site" in answer.text


@pytest.mark.parametrize(
    "host",
    [
        "localhost:8000", "127.0.0.1:8000", "192.168.1.20:8000", "[::1]:8000", "[fe80::1]",
        "tablet.lan", "TABLET.LAN", "bar.local:8000", "kitchen", "box.home.arpa", "box.internal",
    ],
)  # fmt: skip
def test_a_name_that_can_only_be_ours_is_answered(client, host):
    assert client.get("/", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "elsewhere.example", "elsewhere.example:8000", "127.0.0.1.elsewhere.example",
        "tablet.lan.elsewhere.example", "[elsewhere.example]", "elsewherelan.com",
    ],
)  # fmt: skip
def test_a_name_that_may_be_anybodys_is_refused_and_told_how_to_allow_it(client, host):
    answer = client.get("/", headers={"Host": host})
    assert answer.status_code == 403
    assert "NINEFIFTY_HOSTS" in answer.text


def test_a_name_given_in_the_settings_is_answered(tmp_path):
    with app_in(tmp_path, extra_hosts=("bar.example",)) as client:
        assert client.get("/", headers={"Host": "Bar.example:8000"}).status_code == 200


@pytest.mark.parametrize("headers", [{"Host": "elsewhere.example"}, {"Origin": "null"}])
def test_a_refusal_carries_the_security_headers_too(client, headers):
    answer = client.post("/routines", data=FORM, headers=headers)
    assert answer.status_code == 403
    assert {name: answer.headers[name] for name in HEADERS} == HEADERS
