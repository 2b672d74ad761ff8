"""What pages say of https: browsers allow all of it on the computer itself as well.

Source: W3C, Secure Contexts, 3.1: http://localhost, 127.0.0.0/8 and ::1 are potentially
trustworthy, as https is.
"""

import pytest

from tests.web.html import Page

DEMO = "/routines/routine-demo"
HERE = ("localhost", "127.0.0.1", "[::1]")
ONLY_OVER_HTTPS = {
    f"{DEMO}/rehearse": "recording, and a stage that opens without the server need https",
    f"{DEMO}/try": "Over plain http a page cannot keep it awake",
    f"{DEMO}/learn/cards": "Over plain http browsers do not allow that",
    "/recordings": "Over https the stage offers",
    "/trust": "To switch https on",
}


@pytest.mark.parametrize("path", ONLY_OVER_HTTPS)
def test_on_the_network_it_is_said_that_only_https_allows_it(demo, path):
    assert ONLY_OVER_HTTPS[path] in " ".join(Page(demo.get(path)).text("body").split())


@pytest.mark.parametrize("host", HERE)
@pytest.mark.parametrize("path", ONLY_OVER_HTTPS)
def test_on_the_computer_itself_nothing_is_said_to_need_https(demo, path, host):
    told = Page(demo.get(path, headers={"Host": host})).text("body")
    assert ONLY_OVER_HTTPS[path] not in " ".join(told.split())


def test_on_the_computer_itself_https_is_told_to_be_for_other_devices(demo):
    told = Page(demo.get("/trust", headers={"Host": "localhost"})).text(".empty")
    assert "browsers allow all of it. For other devices: to switch https on" in told
