"""Behind a proxy: what comes by the public address is taken as asked there, all else as it came."""

import pytest

from tests.web.conftest import app_in

PUBLIC = "https://bar.example"
INSIDE = "127.0.0.1:8000"
FORM = {"name": "Mine", "rules": "nobody"}
TAKEN, REFUSED = 422, 403
"""A form that got through is answered 422, because it names no rule sheet."""


@pytest.fixture(scope="module")
def proxied(tmp_path_factory):
    """A browser on an app that others open at PUBLIC; as a proxy asks, over plain http."""
    with app_in(tmp_path_factory.mktemp("public"), public_url=PUBLIC) as client:
        yield client


def secure_cookies(client, **headers):
    """Whether what the browser is given to keep is kept for https alone."""
    client.cookies.clear()
    secret = client.app.state.door.link_secret
    answer = client.post("/in/link", data={"secret": secret}, headers=headers)
    kept = [each for each in answer.headers.get_list("set-cookie") if "ninefifty-device" in each]
    assert (answer.status_code, len(kept)) == (303, 1)
    return "Secure" in kept[0] and kept[0].startswith("__Host-")


def test_what_is_asked_under_the_public_name_is_asked_over_https(proxied):
    assert secure_cookies(proxied, Host="bar.example", Origin=PUBLIC)


def test_a_proxy_that_asks_by_another_name_may_say_by_which_it_was_asked(proxied):
    named = {"Host": INSIDE, "X-Forwarded-Host": "Bar.example, inner.example", "Origin": PUBLIC}
    assert secure_cookies(proxied, **named)


def test_a_proxy_that_was_asked_over_http_is_believed(proxied):
    said = {"Host": "bar.example", "Origin": "http://bar.example", "X-Forwarded-Proto": "http"}
    assert not secure_cookies(proxied, **said)


def test_what_comes_by_the_address_inside_is_taken_as_it_came(proxied):
    assert not secure_cookies(proxied, Host=INSIDE, Origin=f"http://{INSIDE}")


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        # A page of ours posts, and the proxy names the app as it reaches it.
        ({"Host": INSIDE, "Origin": PUBLIC}, TAKEN),
        ({"Host": INSIDE, "Origin": "http://elsewhere.example"}, REFUSED),
        # A page of another site can make up no such header; one under a name that was led here
        # can, and is refused for that name.
        ({"Host": "bar.example", "Origin": "http://elsewhere.example"}, REFUSED),
        ({"Host": INSIDE, "X-Forwarded-Host": "bar.example", "Origin": "https://a.b"}, REFUSED),
        ({"Host": "led.example", "X-Forwarded-Host": "bar.example", "Origin": PUBLIC}, REFUSED),
        ({"Host": "led.example", "Origin": "http://led.example"}, REFUSED),
    ],
)
def test_a_form_of_a_public_page_is_taken_and_no_other(proxied, headers, status):
    assert proxied.post("/routines", data=FORM, headers=headers).status_code == status


def test_a_form_that_is_refused_says_what_a_proxy_may_lack(client):
    answer = client.post("/routines", data=FORM, headers={"Host": INSIDE, "Origin": PUBLIC})
    assert answer.status_code == REFUSED
    assert "NINEFIFTY_URL" in answer.text
