"""The watch over the pages itself: that it would see what it is there to see."""

import pytest


def test_a_name_on_the_network_is_no_secure_context_as_on_a_tablet(page):
    page.goto("/")
    assert page.evaluate("window.isSecureContext") is False


@pytest.mark.parametrize(
    ("trouble", "seen_as"),
    [
        ("console.error('lost the thread')", "lost the thread"),
        ("setTimeout(() => { throw new Error('stumbled') })", "uncaught: stumbled"),
        ("document.body.setAttribute('style', 'color: red')", "Content Security Policy"),
        ("fetch('http://elsewhere.lan/').catch(() => {})", "http://elsewhere.lan/"),
        ("fetch('/static/nothing.css')", "answered 404"),
    ],
)
def test_trouble_in_a_page_is_noticed(page, watch, trouble, seen_as):
    page.goto("/")
    page.evaluate(trouble)
    page.wait_for_timeout(200)
    noticed = [fault for fault in watch.faults if seen_as in fault]
    watch.faults.clear()
    assert noticed


def test_a_killed_server_comes_back_at_its_address_with_what_it_held(page, empty_server):
    page.goto(f"http://tablet.lan:{empty_server.port}/rules")
    empty_server.kill()
    empty_server.start()
    page.reload()
    assert page.get_by_role("heading", name="House rehearsal rules (invented)").is_visible()
