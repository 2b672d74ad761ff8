"""No page, and no stage, is lost to a figure that cannot be worked out."""

import json
import logging

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import CannotTell
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink, Ingredient
from server.domain.runs.events import event_document
from server.web.frame.telling import told
from tests.factories import make_events, make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep

WHY = "Dose, beverage and strength of the brew do not fit together."
# 30 % of 100 g of coffee in 10 g of beverage: its strength would be 300 %.
COFFEE = Ingredient(
    "i1",
    "Coffee",
    Amount(40, "ml"),
    brew=Brew(dose_g=100, beverage_g=10, extraction_percent=30),
)
ROUTINE = make_routine(
    drinks=(Drink("d1", "Dusk", ingredients=(COFFEE,), descriptors=("plum",)), Drink("d2", "Ebb")),
    segments=(make_segment("s1", drink_id="d1", said="You will find plum."), "s2", "s3"),
    processes=(make_process(),),
)
PAGES = (
    "drinks", "drinks/d1/batch", "drinks/compare", "script", "claims", "declaration", "plan",
    "plan/sheet", "plan/chance", "plan/risk", "plan/what-if", "rehearse", "details", "runs",
)  # fmt: skip
SAYING = ("drinks", "drinks/d1/batch", "drinks/compare", "script", "claims", "declaration")


@pytest.fixture
def path(client):
    return keep(client, ROUTINE)


@pytest.mark.parametrize("place", PAGES)
def test_every_page_opens_though_a_glass_cannot_be_told(client, path, place):
    assert client.get(f"{path}/{place}").status_code == 200


@pytest.mark.parametrize("place", SAYING)
def test_a_page_says_in_the_figures_place_what_cannot_be_told_and_why(client, path, place):
    (said, *_) = Page(client.get(f"{path}/{place}")).texts(".untold")
    assert "“Dusk” cannot be told: Coffee: " in said
    assert WHY in said


def test_the_stage_opens_and_marks_though_a_glass_cannot_be_told(client, path):
    stage = client.post(f"{path}/rehearse").headers["location"]
    page = Page(client.get(stage))
    assert page.status == 200
    assert WHY in page.text(".waiting")
    # Descriptors that are said are due all the same: only what hangs on the glass is not checked.
    claims = json.loads(page.one("script#run-data").text)["claims"]
    assert [each["label"] for each in claims] == ["plum"]
    body = json.dumps({"events": [event_document(each) for each in make_events({"s1": 61})]})
    marks = client.post(f"/api{stage.removesuffix('/stage')}/events", content=body.encode())
    assert len(marks.json()["accepted"]) == 2


def test_what_cannot_be_told_is_said_in_one_wording():
    def fail():
        raise CannotTell("There is nothing to mix.")

    assert told("The glass", fail) == (None, "The glass cannot be told: There is nothing to mix.")


def test_what_should_never_fail_is_told_too_and_logged(caplog):
    with caplog.at_level(logging.ERROR):
        found, why = told("The glass", lambda: 1 / 0)
    assert (found, why[:29]) == (None, "The glass cannot be told: the")
    assert "ZeroDivisionError" in caplog.text
