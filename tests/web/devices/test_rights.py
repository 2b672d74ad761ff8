"""Every route against the one table of rights: none without a row, none open to whom it is not."""

import re

import pytest

from server.domain.base.rights import may
from server.domain.routine.drink import Drink
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.sitting import Sitting
from server.store.ids import new_id
from server.store.tastings.sittings import keep_sitting
from server.store.tastings.tasters import admit_taster
from server.store.watchers import admit
from server.web.frame.access import NEEDS, TABLE
from server.web.frame.addresses import TASTE
from server.web.frame.cookies import DEVICE, taste_cookie, watch_cookie
from tests.factories import NOW_MS, make_routine
from tests.lent import addresses
from tests.table import table
from tests.web.conftest import app_in, beside, let_in_as
from tests.web.shelf import keep, keep_run

STANDING = {"routine_id": "r1"}
"""What stands in an address where a test wants something that is there; all else is "one"."""


def make_tasting(owner):
    """The id of a new tasting of the routine."""
    words = (AskedWord("plum", "stated"), AskedWord("smoke", "far"))
    drink = Drink("d1", "Sour", descriptors=("plum",))
    sitting = Sitting(new_id(), "r1", "list", "Evening", NOW_MS, 1, (drink,), words=words)
    with owner.app.state.database.writing() as session:
        keep_sitting(session, sitting)
    return sitting.id


ROUTES = [f"{method} {path}" for method, path in addresses() if path != "/static"]


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

    def status(row, cookies, of_run=run_id, sitting_id="one"):
        browser = beside(owner, cookies=cookies, raise_server_exceptions=False)
        method, path = row.split()
        known = STANDING | {"run_id": of_run, "sitting_id": sitting_id}
        path = re.sub(r"\{(\w+)\}", lambda found: known.get(found[1], "one"), path)
        body = {"elapsed_ms": None} if path.endswith("/pulse") else None
        return browser.request(method, path, json=body).status_code

    return status


def test_every_route_stands_in_the_table_once_and_no_row_is_without_a_route():
    assert sorted(row for row, _, _ in TABLE) == ROUTES


REFUSING = [row for row in ROUTES if NEEDS.get(row) != "anyone"]


@table("row", REFUSING)
def test_a_stranger_is_turned_away_from_every_route_that_is_not_anyones(ask, row):
    turned_away = 303 if row.endswith(("/watch", "/taste")) else 403
    assert ask(row, {}) == turned_away
    assert ask(row, {f"{DEVICE}-80": "guessed", f"__Host-{DEVICE}-443": "x"}) == turned_away


@pytest.fixture(scope="module")
def watcher(owner, run_id):
    with owner.app.state.database.writing() as session:
        _, token = admit(session, run_id, "Ada", NOW_MS + 10**12)
    return {watch_cookie(run_id): token}


@table("row", [row for row in REFUSING if NEEDS.get(row, "own") != "watch"])
def test_a_pass_to_watch_opens_nothing_but_its_run(ask, watcher, row):
    assert ask(row, watcher) == (303 if row.endswith("/taste") else 403)


def test_a_pass_to_watch_opens_no_other_run(ask, owner, watcher):
    other = keep_run(owner, make_routine(), events=())
    (token,) = watcher.values()
    for row in (row for row in REFUSING if NEEDS.get(row, "own") == "watch"):
        assert ask(row, watcher | {watch_cookie(other): token}, other) in (303, 403)


@pytest.fixture(scope="module")
def tasting(owner):
    return make_tasting(owner)


@pytest.fixture(scope="module")
def taster(owner, tasting):
    with owner.app.state.database.writing() as session:
        _, token = admit_taster(session, tasting, "Bea", NOW_MS + 10**12)
    return {taste_cookie(tasting): token}


@table("row", [row for row in REFUSING if NEEDS.get(row, "own") != "taste"])
def test_a_pass_to_taste_opens_nothing_but_its_tasting(ask, taster, tasting, row):
    turned_away = 303 if row.endswith("/watch") else 403
    assert ask(row, taster, sitting_id=tasting) == turned_away


def test_a_pass_to_taste_opens_its_tasting_and_no_other(ask, owner, taster, tasting):
    other, (token,) = make_tasting(owner), taster.values()
    rows = [row for row in REFUSING if NEEDS.get(row, "own") == "taste"]
    assert ask(f"GET {TASTE}", taster, sitting_id=tasting) == 200
    for row in rows:
        assert ask(row, taster | {taste_cookie(other): token}, sitting_id=other) in (303, 403)


@pytest.fixture(scope="module")
def helper(owner):
    return let_in_as(owner, "helper")


@table("row", [row for row in REFUSING if NEEDS.get(row, "own") == "own"])
def test_a_helper_changes_nothing_deletes_nothing_and_hears_no_recording(ask, helper, row):
    assert ask(row, helper) == 403


def test_a_helper_looks_rehearses_and_watches(ask, helper):
    rows = [row for row in REFUSING if NEEDS.get(row, "own") == "help" and "code.svg" not in row]
    assert [row for row in rows if ask(row, helper) == 403] == []


def test_what_stands_in_no_row_is_the_owners_alone():
    assert [may("own", role) for role in ("mine", "helper", None)] == [True, False, False]
