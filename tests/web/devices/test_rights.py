"""Every route against the one table of rights: none without a row, none open to whom it is not."""

import re

import pytest
from fastapi.routing import iter_route_contexts
from fastapi.testclient import TestClient

from server.app import create_app
from server.domain.base.rights import may
from server.settings import Settings
from server.store.devices import let_in
from server.store.watchers import admit
from server.web.frame.cookies import DEVICE, watch_cookie
from server.web.frame.rights import NEEDS
from tests.factories import NOW_MS, make_routine
from tests.web.conftest import ORIGIN, app_in
from tests.web.shelf import keep, keep_run

STANDING = {"routine_id": "r1"}
"""What stands in an address where a test wants something that is there; all else is "one"."""


def routes():
    contexts = iter_route_contexts(create_app(Settings(demo=False)).routes)
    return sorted(
        f"{method} {each.path}"
        for each in contexts
        for method in each.methods or ()
        if each.path != "/static"
    )


ROUTES = routes()


@pytest.fixture(scope="module")
def owner(tmp_path_factory):
    with app_in(tmp_path_factory.mktemp("rights")) as client:
        keep(client)
        yield client


@pytest.fixture(scope="module")
def run_id(owner):
    return keep_run(owner, make_routine(), events=())


@pytest.fixture(scope="module")
def ask(owner, run_id):
    """The status of a route for a browser that shows these cookies."""

    def status(row, cookies, of_run=run_id):
        browser = TestClient(
            owner.app, base_url=ORIGIN, headers={"Origin": ORIGIN}, cookies=cookies,
            follow_redirects=False, raise_server_exceptions=False,
        )  # fmt: skip
        method, path = row.split()
        known = STANDING | {"run_id": of_run}
        path = re.sub(r"\{(\w+)\}", lambda found: known.get(found[1], "one"), path)
        body = {"elapsed_ms": None} if path.endswith("/pulse") else None
        return browser.request(method, path, json=body).status_code

    return status


def test_every_route_has_a_row_in_the_table_and_no_row_is_without_a_route():
    assert sorted(NEEDS) == ROUTES


REFUSING = [row for row in ROUTES if NEEDS.get(row) != "anyone"]


@pytest.mark.parametrize("row", REFUSING)
def test_a_stranger_is_turned_away_from_every_route_that_is_not_anyones(ask, row):
    turned_away = 303 if row.endswith("/watch") else 403
    assert ask(row, {}) == turned_away
    assert ask(row, {f"{DEVICE}-80": "guessed", f"__Host-{DEVICE}-443": "x"}) == turned_away


@pytest.fixture(scope="module")
def watcher(owner, run_id):
    with owner.app.state.database.writing() as session:
        _, token = admit(session, run_id, "Ada", NOW_MS + 10**12)
    return {watch_cookie(run_id): token}


@pytest.mark.parametrize("row", [row for row in REFUSING if NEEDS.get(row, "own") != "watch"])
def test_a_pass_to_watch_opens_nothing_but_its_run(ask, watcher, row):
    assert ask(row, watcher) == 403


def test_a_pass_to_watch_opens_no_other_run(ask, owner, watcher):
    other = keep_run(owner, make_routine(), events=())
    (token,) = watcher.values()
    for row in (row for row in REFUSING if NEEDS.get(row, "own") == "watch"):
        assert ask(row, watcher | {watch_cookie(other): token}, other) in (303, 403)


@pytest.fixture(scope="module")
def helper(owner):
    with owner.app.state.database.writing() as session:
        _, token = let_in(session, "helper", "Phone", NOW_MS)
    return {f"{DEVICE}-80": token}


@pytest.mark.parametrize("row", [row for row in REFUSING if NEEDS.get(row, "own") == "own"])
def test_a_helper_changes_nothing_deletes_nothing_and_hears_no_recording(ask, helper, row):
    assert ask(row, helper) == 403


def test_a_helper_looks_rehearses_and_watches(ask, helper):
    rows = [row for row in REFUSING if NEEDS.get(row, "own") == "help" and "code.svg" not in row]
    assert [row for row in rows if ask(row, helper) == 403] == []


def test_what_stands_in_no_row_is_the_owners_alone():
    assert [may("own", role) for role in ("mine", "helper", None)] == [True, False, False]
