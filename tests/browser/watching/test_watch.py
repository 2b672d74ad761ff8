"""The watch over the pages itself: that it would see what it is there to see."""

import pytest


def test_a_name_on_the_network_is_no_secure_context_as_on_a_tablet(page):
    page.goto("/")
    assert page.evaluate("window.isSecureContext") is False


TROUBLES = {
    "console.error('lost the thread')": "lost the thread",
    "setTimeout(() => { throw new Error('stumbled') })": "uncaught: stumbled",
    "document.body.setAttribute('style', 'color: red')": "Content Security Policy",
    "fetch('http://elsewhere.lan/').catch(() => {})": "http://elsewhere.lan/",
    "fetch('/static/nothing.css')": "answered 404",
    "fetch('/broken')": "answered 500",
}


def test_trouble_in_a_page_is_noticed(page, watch):
    page.route("**/broken", lambda route: route.fulfill(status=500))
    page.goto("/")
    unnoticed = dict(TROUBLES)
    for trouble, seen_as in TROUBLES.items():
        page.evaluate(trouble)
        for _ in range(100):
            if any(seen_as in fault for fault in watch.faults):
                del unnoticed[trouble]
                break
            page.wait_for_timeout(20)
        watch.faults.clear()
    # What the last one brought about may still be on its way.
    page.goto("about:blank")
    watch.faults.clear()
    assert unnoticed == {}


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1:1"])
def test_another_host_is_noticed_where_no_policy_refuses_it_first(page, watch, host):
    page.route("**/plain", lambda route: route.fulfill(body="<!doctype html>"))
    page.goto("/plain")
    page.evaluate("url => fetch(url).catch(() => {})", f"http://{host}/")
    # What is asked for now comes behind what failed before.
    page.goto("about:blank")
    heard = [each for each in watch.faults if each.startswith("asked another host")]
    watch.faults.clear()
    assert heard == [f"asked another host: http://{host}/"]


def test_a_killed_server_comes_back_at_its_address_with_what_it_held(page, empty_server):
    page.goto(f"http://tablet.lan:{empty_server.port}/rules")
    empty_server.kill()
    empty_server.start()
    page.reload()
    assert page.get_by_role("heading", name="House rehearsal rules (invented)").is_visible()
