"""A device that helps: its pages offer what it may do, and nothing that would be refused."""

import pytest
from fastapi.testclient import TestClient

from tests.web.conftest import ORIGIN, app_in, beside, let_in_as
from tests.web.dead_ends import walk
from tests.web.html import Page
from tests.web.sharing.world import hollow


@pytest.fixture(scope="module")
def owner(tmp_path_factory):
    """The owner's browser on an app with the demo."""
    with app_in(tmp_path_factory.mktemp("helps"), demo=True) as client:
        yield client


@pytest.fixture(scope="module")
def cookies(owner):
    return let_in_as(owner, "helper")


@pytest.fixture(scope="module")
def helper(owner, cookies):
    return beside(owner, cookies=cookies, headers={"Origin": ORIGIN})


@pytest.fixture(scope="module")
def door(owner, cookies):
    """The helper's browser before the door alone: what is let in does nothing."""
    browser = TestClient(
        hollow(owner.app), base_url=ORIGIN, headers={"Origin": ORIGIN}, cookies=cookies
    )
    browser.portal = owner.portal
    return browser


def test_nothing_on_a_page_is_refused_to_a_device_that_helps(helper, door):
    assert walk(helper, door) == []


def test_a_device_that_helps_is_told_so_and_ticks_what_is_packed(helper):
    page = Page(helper.get("/routines/routine-demo/prepare"))
    assert "This device helps" in page.text(".reader")
    (form,) = [each for each in page.all("form") if each.get("action", "").endswith("/ticks")][:1]
    assert form.get("data-shut") is None


def test_a_page_drawn_for_a_helper_is_not_shown_to_the_owner(owner, helper):
    at = "/routines/routine-demo/plan"
    shown = [Page(browser.get(at)).all(".reader") for browser in (helper, owner, helper)]
    assert [bool(each) for each in shown] == [True, False, True]


def test_today_leads_a_helper_to_nothing_that_they_would_have_to_write(owner, helper):
    writing = "a[href*='/script?open=segment'], a[href*='goal-title']"
    shown = [Page(each.get("/routines/routine-demo")).all(writing) for each in (owner, helper)]
    assert [bool(each) for each in shown] == [True, False]


@pytest.mark.parametrize(
    ("place", "asking"),
    [
        ("learn", "a[href*='edit=aim']"),
        ("prep", ".prep-proposals"),
        ("plan", "a.button[href*='/script?open=segment']"),
    ],
)
def test_a_helper_is_asked_for_nothing_that_only_the_owner_can_answer(owner, helper, place, asking):
    at = f"/routines/routine-demo/{place}"
    assert [bool(Page(each.get(at)).all(asking)) for each in (owner, helper)] == [True, False]
