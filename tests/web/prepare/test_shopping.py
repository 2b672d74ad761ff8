"""The page of the shopping: packs, costs, days, and what is refused."""

from dataclasses import replace
from datetime import datetime

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Good, Journey, Preparation, Size, Task
from server.web.frame.dependencies import handed_now_ms
from server.web.frame.local_zone import LOCAL
from tests.factories import make_routine
from tests.web.html import Page
from tests.web.shelf import keep, kept

HERE = "/routines/r1/shopping"
JUICE = Ingredient("i1", "Juice", Amount(100, "ml"))


def routine(*goods, **changes):
    return make_routine(
        drinks=(Drink("d1", "Sour", 4, (JUICE,)),),
        preparation=Preparation(reserve_percent=0, goods=goods, **changes),
    )


def test_the_demo_says_what_to_buy_and_what_it_costs(demo):
    page = Page(demo.get("/routines/routine-demo/shopping"))
    assert page.text("h1").startswith("11 things to buy, ")
    assert "6 practice runs, 1 dress run, 1 event" in page.text(".headline .about")
    assert len(page.all(".shop-desk > div > .prep-lines > .shop-line")) == 11


def test_an_empty_routine_says_what_fills_the_list(client):
    keep(client)
    assert "in packs as they are sold" in Page(client.get(HERE)).text(".empty")


def test_how_it_is_sold_is_asked_for_and_then_told_in_packs(client):
    keep(client, routine())
    page = Page(client.get(HERE))
    assert page.text(".prep-amiss") == "Say how it is sold: touch it."
    opened = Page(client.get(page.one(".shop-line a").get("href")))
    sent = opened.sent_by(f"{HERE}/goods/new") | {"sizes": "700 ml = 20\n1 l"}
    assert client.post(f"{HERE}/goods/new", data=sent).status_code == 303
    page = Page(client.get(HERE))
    assert page.text(".shop-line b") == "2 × 700 ml"
    assert "600 ml left over; 40.00; a size without a price" in page.text(".shop-line small")
    assert page.text("h1") == "1 thing to buy, 40.00 in all"


def test_how_things_are_sold_is_asked_once_above_all_that_lack_it(client):
    parts = [replace(JUICE, id=f"i{n}", name=f"Juice {n}") for n in range(3)]
    sold = Good("g1", "Juice 1", (Size(Amount(700, "ml"), 20.0),))
    keep(client, replace(routine(sold), drinks=(Drink("d1", "Sour", 4, tuple(parts)),)))
    page = Page(client.get(HERE))
    assert page.texts(".prep-amiss") == ["Say how these 2 are sold: touch each."]
    asked, known = page.all(".prep-lines")
    assert [len(each) for each in (asked, known)] == [2, 1]


def test_brewed_coffee_stands_on_the_list_by_its_dose(client):
    coffee = replace(JUICE, name="Filter coffee", brew=Brew(dose_g=16, water_g=250))
    sold = Good("g1", "Filter coffee", (Size(Amount(250, "g"), 12.0),))
    file = replace(routine(sold), drinks=(Drink("d1", "Sour", 4, (coffee,)),))
    keep(client, file)
    page = Page(client.get(HERE))
    assert page.text(".shop-line b") == "1 × 250 g"
    assert "128 g ground needed" in page.text(".shop-line small")
    kit = Page(client.get("/routines/r1/prepare"))
    assert "16 g ground, for 100 ml" in kit.texts("form[data-tick] b")


@pytest.mark.parametrize(
    ("good", "told"),
    [
        ({}, "for the stage by Sun 29 Nov"),
        ({"closed_days": 3}, "for the stage Fri 27 Nov to Sun 29 Nov"),
        ({"task_id": "t1"}, "for “Infusion” by Wed 25 Nov"),
        ({"task_id": "t1", "closed_days": 0}, "for “Infusion” on Thu 26 Nov"),
        ({"task_id": "gone"}, "for the stage by Sun 29 Nov"),
    ],
)
def test_everything_is_bought_in_time_for_the_stage_or_what_is_made_of_it(client, good, told):
    stage = datetime(2026, 11, 30, 14, tzinfo=LOCAL)
    journey = Journey(round(stage.timestamp() * 1000), from_hour=0, to_hour=24)
    tasks = (Task("t1", "Infusion", 3600.0, 4 * 86_400.0 - 7200),)
    sold = replace(Good("g1", "Juice", (Size(Amount(1, "l"), 2.0),)), **good)
    keep(client, routine(sold, tasks=tasks, journey=journey))
    assert told in Page(client.get(HERE)).text(".shop-line small")


@pytest.mark.parametrize(
    ("day", "told"),
    [
        (26, "for the stage Fri 27 Nov to Sun 29 Nov"),
        (27, "for the stage by Sun 29 Nov"),
        (29, "for the stage today"),
        (30, "for the stage by Sun 29 Nov, which is past"),
    ],
)
def test_nobody_is_told_to_buy_on_a_day_that_is_past(client, day, told):
    stage = datetime(2026, 11, 30, 14, tzinfo=LOCAL)
    journey = Journey(round(stage.timestamp() * 1000), from_hour=0, to_hour=24)
    sold = Good("g1", "Juice", (Size(Amount(1, "l"), 2.0),), closed_days=3)
    keep(client, routine(sold, journey=journey))
    now = datetime(2026, 11, day, 9, tzinfo=LOCAL)
    client.app.dependency_overrides[handed_now_ms] = lambda: round(now.timestamp() * 1000)
    assert told == Page(client.get(HERE)).text(".shop-line small").rpartition("; ")[2]


def test_after_the_stage_no_day_is_told(client):
    stage = datetime(2025, 1, 30, 14, tzinfo=LOCAL)
    journey = Journey(round(stage.timestamp() * 1000), from_hour=0, to_hour=24)
    keep(client, routine(Good("g1", "Juice", (Size(Amount(1, "l"), 2.0),)), journey=journey))
    assert "stage" not in Page(client.get(HERE)).text(".shop-line small")


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("sizes", "large", "“large”: write a line for each size, such as 700 ml = 39."),
        ("sizes", "0 ml = 3", "A pack holds more than nothing."),
        ("sizes", "1 l = cheap", "Give a number."),
        ("closed", "1.5", "Give a whole number."),
        ("per_run", "some", ""),
        ("name", "", "Give it a name."),
    ],
)
def test_a_good_that_cannot_be_read_is_refused_beside_its_field(client, field, text, words):
    keep(client, routine())
    page = Page(client.post(f"{HERE}/goods/new", data={"name": "Juice", field: text}))
    assert page.status == 422
    assert page.fault(field).startswith(words)
    assert page.typed(field, f"{HERE}/goods/new") == text


def test_the_runs_are_changed_and_what_is_bought_with_them(client):
    keep(client, routine(Good("g1", "Juice", (Size(Amount(700, "ml"), 20.0),))))
    data = {"practice_runs": "20", "dress_runs": "0", "events": "1"}
    client.post(f"{HERE}/runs", data=data)
    assert Page(client.get(HERE)).text(".shop-line b") == "3 × 700 ml"
    page = Page(client.post(f"{HERE}/runs", data=data | {"events": "-1"}))
    assert page.fault("events") == "Give a number from 0 to 1000."


def test_a_good_is_deleted_and_undone(client):
    keep(client, routine(Good("g1", "Juice")))
    client.post(f"{HERE}/goods/g1/delete")
    assert kept(client).preparation.goods == ()
    client.post("/routines/r1/undo", data={"back": "shopping"})
    assert [good.name for good in kept(client).preparation.goods] == ["Juice"]


def test_for_no_runs_at_all_it_says_so(client):
    keep(client, routine(practice_runs=0, dress_runs=0, events=0))
    assert "For no runs" in Page(client.get(HERE)).text(".headline .about")
