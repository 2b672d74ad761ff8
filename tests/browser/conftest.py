"""A real server and a real browser.

Pages are opened at http://tablet.lan, a name that the browser is told to find on this machine.
Unlike localhost that is no secure context: tests see what a tablet on the network sees. Whatever
a page complains of, and any request to another host, fails the test it happened in.
"""

import pytest
from playwright.sync_api import expect

from server.bootstrap import find_chromium
from tests.browser.chromium import ARGUMENTS, HOST, SLOWEST_ACTION_MS
from tests.browser.connected import act_once_connected
from tests.browser.desk import Desk
from tests.browser.secure import (  # noqa: F401  (fixtures)
    secure_browser,
    secure_desk,
    secure_options,
    secure_page,
    secure_server,
    secure_url,
)
from tests.browser.watch import Watch
from tests.node import Node, find_node
from tests.owner import as_owner
from tests.real_server import RealServer

LAPTOP = {"width": 1280, "height": 800}
LOOKS_AS_EVER = dict.fromkeys(
    ("media", "color_scheme", "forced_colors", "reduced_motion", "contrast"), "null"
)
expect.set_options(timeout=SLOWEST_ACTION_MS)


def pytest_configure(config):
    config.addinivalue_line("markers", "only_looks: its tests only look, so one page does for all")


def pytest_collection_modifyitems(items):
    for item in items:
        if "tests/browser/" in item.path.as_posix():
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    return browser_type_launch_args | {
        "executable_path": find_chromium(),
        "args": list(ARGUMENTS),
    }


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args):
    """Every context is the owner's device, unless a test says otherwise."""
    return browser_context_args | as_owner(HOST)


@pytest.fixture
def routine(desk, request):
    """The address of a routine with the segments that the module names."""
    return f"/routines/{desk.routine('Evening set', request.module.SEGMENTS)}"


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    """The app with its demo, shared by all tests; a test that kills it starts it again."""
    with RealServer(tmp_path_factory.mktemp("app") / "data") as running:
        yield running


@pytest.fixture
def empty_server(tmp_path):
    """An app of the test's own, without the demo."""
    with RealServer(tmp_path / "data", demo=False) as running:
        yield running


@pytest.fixture(scope="session")
def base_url(server):
    return address_of(server)


@pytest.fixture(scope="session")
def desk(server):
    """Lays out what a test needs, past the browser."""
    with Desk(server.url) as at_the_desk:
        yield at_the_desk


@pytest.fixture
def watch():
    """What went wrong in any page of the test."""
    watching = Watch(HOST)
    yield watching
    assert watching.faults == []


@pytest.fixture
def new_context(new_context, watch):
    """Makes browser contexts that are watched; takes what `browser.new_context` takes."""

    def make(**options):
        context = new_context(**({"viewport": LAPTOP} | options))
        context.set_default_timeout(SLOWEST_ACTION_MS)
        context.on("page", act_once_connected)
        watch.listen(context)
        return context

    return make


@pytest.fixture(scope="module")
def one_page(browser, browser_context_args):
    """One page for all tests of a module that only look: a new one costs more than looking."""
    context = browser.new_context(viewport=LAPTOP, **browser_context_args)
    context.set_default_timeout(SLOWEST_ACTION_MS)
    page = context.new_page()
    act_once_connected(page)
    page.on("dialog", lambda dialog: dialog.accept())
    yield page
    context.close()


@pytest.fixture
def page(request):
    """A page in a context of its own, or the one page of a module marked `only_looks`."""
    if not request.node.get_closest_marker("only_looks"):
        yield request.getfixturevalue("context").new_page()
        return
    one_page, watch = map(request.getfixturevalue, ("one_page", "watch"))
    one_page.set_viewport_size(LAPTOP)
    one_page.emulate_media(**LOOKS_AS_EVER)
    stop_listening = watch.listen(one_page.context)
    yield one_page
    stop_listening()
    if one_page.url.startswith("http"):
        one_page.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")


@pytest.fixture(scope="module")
def modules_page(request):
    """Calls modules with plain values, once for all of a file: in Node.js, or else in a page."""
    program = find_node()
    if program is not None:
        node = Node(program)
        yield node
        node.close()
        return
    browser, base_url = map(request.getfixturevalue, ("browser", "base_url"))
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{base_url}/join")
    yield page
    context.close()


def address_of(running):
    """Where the browser finds a server."""
    return f"http://{HOST}:{running.port}"
