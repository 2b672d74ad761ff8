"""Triangle tests and preferences: the plan on paper, the phones, and what may be said."""

import re
from collections import Counter

from tests.web.html import Page
from tests.web.tasters.phones import (
    PAIRS,
    TASTINGS,
    Phone,
    keep_drinks,
    seat,
    set_up,
    sitting_at,
)


def test_the_serving_plan_has_every_order_equally_often_and_no_code_twice(client):
    keep_drinks(client)
    here, _ = set_up(client, PAIRS)
    page = Page(client.get(f"{here}/serving"))
    cells = page.texts(".serving-table td")
    codes = [re.fullmatch(r"(\d{3}) ([AB])", cell) for cell in cells]
    orders = Counter("".join(each[2] for each in codes[at : at + 3]) for at in range(0, 36, 3))
    assert set(orders.values()) == {2}
    assert len(orders) == 6
    assert len({each[1] for each in codes}) == 36
    assert "A: 18 glasses of 20 ml, 360 ml in all" in page.texts("ul.plain li")


def test_eight_of_twelve_right_tell_that_versions_differ(client):
    keep_drinks(client)
    here, code = set_up(client, PAIRS)
    for number in range(12):
        assert seat(client, here, code).name_odd(right=number < 8).status_code == 204
    page = Page(client.get(here))
    assert page.text("h1") == "They taste different"
    # P(X >= 8 | 12, 1/3) = 0.0188.
    assert page.texts(".allowed li")[0] == (
        "8 of 12 named the odd glass; by chance alone that happens 19 times in 1,000."
    )
    assert "16 tasters are needed" in page.text("main")
    chosen = page.texts(".tasting-rest .line-list .detail")
    assert [each.split(". ")[0] for each in chosen] == (
        ["done, named the odd glass"] * 8 + ["done, named another glass"] * 4
    )


def test_seven_of_twelve_right_tell_nothing_but_how_many_at_most_can(client):
    keep_drinks(client)
    here, code = set_up(client, PAIRS)
    for number in range(12):
        seat(client, here, code).name_odd(right=number < 7)
    page = Page(client.get(here))
    assert page.text("h1") == "No difference shown"
    # Wilson's upper bound of 7 in 12 is 0.807: (0.807 - 1/3) / (2/3) = 0.71.
    assert "At most 71 of 100 people can tell them apart" in page.text("main")


def test_a_preference_is_read_either_way(client):
    keep_drinks(client)
    here, code = set_up(client, PAIRS | {"kind": "preference", "tasters": "10"})
    for _ in range(10):
        phone = seat(client, here, code)
        glasses = next(
            each for each in phone.sitting.sets
            if list(each.codes) == phone.page().texts(".taste-glasses label")
        )  # fmt: skip
        phone.send(done="yes", chosen=glasses.codes[glasses.versions.index("B")])
    page = Page(client.get(here))
    assert page.text("h1") == "Version B is preferred"
    assert "0 of 10 prefer version A" in page.text("main")
    chosen = page.texts(".tasting-rest .line-list .detail")
    assert all(each.startswith("done, prefers version B") for each in chosen)


def test_a_code_of_another_taster_or_none_is_refused(client):
    keep_drinks(client)
    here, code = set_up(client, PAIRS)
    phone = seat(client, here, code)
    foreign = sitting_at(client, here).sets[5].codes[0]
    assert phone.send(done="yes", chosen=foreign).status_code == 422
    refused = phone.send(done="yes", chosen="")
    assert refused.status_code == 422
    assert "If you are not sure, guess." in refused.text


def test_no_more_taste_than_glasses_are_poured_for(client):
    keep_drinks(client)
    here, code = set_up(client, PAIRS | {"tasters": "1"})
    seat(client, here, code)
    late = Phone(client, here)
    late.join(code, "Bea")
    assert late.begin().status_code == 409


def test_two_versions_that_are_made_alike_are_refused(client):
    keep_drinks(client)
    refused = Page(client.post(f"{TASTINGS}/pairs", data=PAIRS | {"second": "d1"}))
    assert "Both are made alike" in refused.fault("second")
    refused = Page(client.post(f"{TASTINGS}/pairs", data=PAIRS | {"second": "gone"}))
    assert "Choose a version." in refused.fault("second")


def test_a_recipe_that_was_tasted_can_be_held_against_the_one_of_today(client):
    keep_drinks(client)
    set_up(client)
    edit = Page(client.get("/routines/r1/drinks?edit=ingredient-i1"))
    action = "/routines/r1/drinks/d1/ingredients/i1"
    client.post(action, data=edit.sent_by(action) | {"amount": "90 ml"})
    form = Page(client.get(f"{TASTINGS}?edit=pairs"))
    (earlier,) = [each for each in form.all("#f-second option") if "as tasted on" in each.text]
    here, _ = set_up(client, PAIRS | {"second": earlier.get("value")})
    made = sitting_at(client, here)
    assert [each.ingredients[0].amount.value for each in made.drinks] == [90, 120]


def test_an_order_for_several_drinks_is_even_and_counts_the_alcohol(client):
    keep_drinks(client)
    page = Page(client.get(f"{TASTINGS}/order?tasters=4&ml=20"))
    firsts = Counter(row.split(" ")[1] for row in page.texts(".serving-table td:nth-child(2)"))
    assert firsts == {"Lamp": 2, "Weaker": 2}
    assert "up to 0.5 standard drinks" in page.text("main")
    assert "multiple of 2" in Page(client.get(f"{TASTINGS}/order?tasters=3")).text("main")
    assert Page(client.get(f"{TASTINGS}/order?tasters=x&ml=-1&seed=²")).status == 200
