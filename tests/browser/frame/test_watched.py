"""What fails in a page fails its test, though the test asks for nothing of the kind."""

import pytest

from tests.browser.chromium import HOST
from tests.browser.watch import Watch


@pytest.fixture
def heard(browser, browser_context_args, base_url):
    """What is heard of a page that does something, up to the end of its context."""

    def faults(script, path="/join"):
        context = browser.new_context(**browser_context_args)
        watching = Watch(HOST)
        watching.listen(context)
        page = context.new_page()
        # Another page than ours has no policy that would refuse before anything was asked.
        page.route("**/plain", lambda route: route.fulfill(body="<!doctype html>"))
        page.route("**/broken", lambda route: route.fulfill(status=500, body="Broken"))
        page.goto(f"{base_url}{path}")
        page.evaluate(script)
        context.close()
        return watching.faults

    return faults


def test_a_page_that_asks_another_host_for_anything_is_heard(heard):
    ask = "url => fetch(url).catch(() => {})"
    assert heard(f"({ask})('http://elsewhere.example/')", "/plain") == [
        "asked another host: http://elsewhere.example/"
    ]
    assert heard(f"({ask})('http://127.0.0.1:1/')", "/plain") == [
        "asked another host: http://127.0.0.1:1/"
    ]


def test_a_file_of_the_app_that_is_missing_is_heard_and_a_page_that_is_not_there_is_not(heard):
    (fault,) = heard("Promise.all([fetch('/static/none.js'), fetch('/nowhere')])")
    assert fault.startswith("answered 404: ")
    assert fault.endswith("/static/none.js")


def test_an_answer_that_owns_to_a_fault_of_the_server_is_heard(heard):
    script = """new Promise((done) => {
      const frame = document.createElement("iframe");
      frame.onload = done;
      frame.src = "/broken";
      document.body.append(frame);
    })"""
    (fault,) = heard(script, "/plain")
    assert fault.startswith("answered 500: ")


def test_what_a_script_throws_and_what_the_policy_refuses_is_heard(heard):
    (fault,) = heard("setTimeout(() => { throw new Error('lost') }); new Promise(setTimeout)")
    assert "lost" in fault
    (fault,) = heard("document.body.setAttribute('onclick', '1')")
    assert "Content Security Policy" in fault
