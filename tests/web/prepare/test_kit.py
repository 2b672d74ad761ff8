"""The page of the kit: what is on it, ticks, the thing by hand, what is left out."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Preparation, Thing
from server.store.runs import row_of
from tests.factories import make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

ROUTINE = make_routine(
    segments=(make_segment("s1", hands="Kettle up.", drink_id="d1"), "s2"),
    drinks=(Drink("d1", "Sour", 4, (Ingredient("i1", "Lemon juice", Amount(40, "ml")),)),),
)
HERE = "/routines/r1/prepare"
KETTLE = "tool:kettle"
LEMONS = "ingredient:lemon juice"


@pytest.fixture
def kitchen(client):
    keep(client, ROUTINE)
    return client


def press(client, key, packed="yes", at="event", amount="", **more):
    data = {"at": at, "key": key, "packed": packed, "amount": amount}
    return client.post(f"{HERE}/ticks", data=data, **more)


def pressed(client, at="event"):
    page = Page(client.get(HERE, params={"at": at}))
    return [
        form.cssselect("[name=key]")[0].value
        for form in page.all("form[data-tick]")
        if form.cssselect("button[aria-pressed=true]")
    ]


def test_the_kit_of_the_demo_lists_what_its_presenter_needs(demo):
    page = Page(demo.get("/routines/routine-demo/prepare"))
    names = page.texts(".kit-name")
    assert {"Kettle", "Ginger cordial", "Stemmed glass", "Declaration sheets"} <= set(names)
    assert page.text("h1").endswith("to pack for the event")
    assert page.text(".five [aria-current=page]") == "Prepare"


def test_an_empty_routine_says_what_fills_its_kit(client):
    keep(client, make_routine(segments=()))
    assert "add a thing by hand" in Page(client.get(HERE)).text(".empty")


def test_a_tick_stays_for_its_occasion_alone_and_may_come_twice(kitchen):
    assert press(kitchen, KETTLE).status_code == 303
    assert press(kitchen, KETTLE, headers={"Accept": "application/json"}).status_code == 204
    assert (pressed(kitchen), pressed(kitchen, "home")) == ([KETTLE], [])
    press(kitchen, KETTLE, packed="")
    assert pressed(kitchen) == []


def test_another_device_is_told_what_is_ticked(kitchen):
    press(kitchen, KETTLE)
    assert kitchen.get(f"{HERE}/ticks", params={"at": "event"}).json() == {
        KETTLE: {"packed": True, "needed": "", "short": ""}
    }


def test_a_tick_that_comes_late_does_not_undo_what_was_said_after_it(kitchen):
    press(kitchen, KETTLE)
    # Said ten seconds before that, on a device that was away.
    data = {"at": "event", "key": KETTLE, "packed": "", "ago": "10000"}
    assert kitchen.post(f"{HERE}/ticks", data=data).status_code == 303
    assert pressed(kitchen) == [KETTLE]
    kitchen.post(f"{HERE}/anew", data={"at": "event"})
    kitchen.post(f"{HERE}/ticks", data=data | {"packed": "yes"})
    assert pressed(kitchen) == []
    kitchen.post(f"{HERE}/ticks", data=data | {"packed": "yes", "ago": "0"})
    assert pressed(kitchen) == [KETTLE]


def test_what_was_packed_for_less_than_is_needed_now_is_told_and_counts_as_not_packed(kitchen):
    def lemons():
        page = Page(kitchen.get(HERE))
        (form,) = [
            form
            for form in page.all("form[data-tick]")
            if form.cssselect("[name=key]")[0].value == LEMONS
        ]
        return form.cssselect("[name=amount]")[0].value, form.text_content()

    def reserve(percent):
        kitchen.post(f"{HERE}/reserve", data={"reserve": percent, "spare": "0"})

    reserve("50")
    press(kitchen, LEMONS, amount=lemons()[0])
    assert pressed(kitchen) == [LEMONS]
    reserve("100")
    assert pressed(kitchen) == []
    assert "packed for 60 ml, 80 ml needed now" in lemons()[1]
    warning = Page(kitchen.get(HERE)).text(".kit-warning")
    assert warning == "Packed for less than is needed now: Lemon juice."
    told = kitchen.get(f"{HERE}/ticks", params={"at": "event"}).json()[LEMONS]
    assert told == {
        "packed": False,
        "needed": "80 ml",
        "short": "packed for 60 ml, 80 ml needed now",
    }
    assert "to pack for the event" in Page(kitchen.get("/routines/r1")).text("main")
    reserve("0")
    assert pressed(kitchen) == [LEMONS]
    reserve("100")
    press(kitchen, LEMONS, amount=lemons()[0])
    assert pressed(kitchen) == [LEMONS]
    kitchen.post(f"{HERE}/anew", data={"at": "event"})
    kitchen.post(f"{HERE}/as-before", data={"at": "event"})
    assert pressed(kitchen) == [LEMONS]


def test_a_tick_that_knows_no_amount_stays_what_it_is(kitchen):
    press(kitchen, LEMONS)
    kitchen.post(f"{HERE}/reserve", data={"reserve": "100", "spare": "0"})
    assert pressed(kitchen) == [LEMONS]


def test_used_things_are_warned_of_once_packing_has_begun(kitchen):
    press(kitchen, KETTLE)
    assert "Lemon juice" in Page(kitchen.get(HERE)).text(".kit-warning")
    assert Page(kitchen.get(HERE, params={"at": "home"})).all(".kit-warning") == []


def test_what_is_packed_and_never_used_is_warned_of(client):
    thing = Thing("t1", "Lucky coin")
    keep(client, replace(ROUTINE, preparation=Preparation(things=(thing,))))
    press(client, "own:t1")
    told = Page(client.get(HERE)).texts(".kit-warning")
    assert "Packed, and nothing uses it: Lucky coin." in told


def test_packing_anew_can_be_taken_back_as_last_time(kitchen):
    press(kitchen, KETTLE)
    assert kitchen.post(f"{HERE}/anew", data={"at": "event"}).status_code == 303
    assert pressed(kitchen) == []
    kitchen.post(f"{HERE}/anew", data={"at": "event"})
    kitchen.post(f"{HERE}/as-before", data={"at": "event"})
    assert pressed(kitchen) == [KETTLE]


def test_a_thing_is_added_by_hand_changed_and_deleted_and_undone(kitchen):
    data = {"name": "Tweezers", "how_many": "2", "kind": "tool", "use-s2": "yes", "at": "home"}
    answer = kitchen.post(f"{HERE}/things/new", data=data)
    assert answer.headers["location"] == f"{HERE}?at=home"
    (thing,) = kept(kitchen).preparation.things
    assert (thing.name, thing.how_many, thing.segment_ids) == ("Tweezers", "2", ("s2",))
    kitchen.post(f"{HERE}/things/{thing.id}", data=data | {"name": "Tongs", "use-s2": ""})
    assert kept(kitchen).preparation.things[0].segment_ids == ()
    kitchen.post(f"{HERE}/things/{thing.id}/delete")
    assert kept(kitchen).preparation.things == ()
    kitchen.post("/routines/r1/undo", data={"back": "prepare"})
    assert kept(kitchen).preparation.things[0].name == "Tongs"


def test_a_thing_without_a_name_is_refused_and_nothing_typed_is_lost(kitchen):
    answer = kitchen.post(f"{HERE}/things/new", data={"name": " ", "how_many": "a dozen"})
    page = Page(answer)
    assert (page.status, page.fault("name")) == (422, "Give it a name.")
    assert page.typed("how_many", f"{HERE}/things/new") == "a dozen"


def test_what_the_recipe_asks_for_can_be_left_out_and_taken_up_again(kitchen):
    kitchen.post(f"{HERE}/left-out", data={"key": KETTLE, "out": "yes"})
    assert "Kettle, left out" in Page(kitchen.get(HERE)).texts(".kit-row.left-out .kit-name")
    kitchen.post(f"{HERE}/left-out", data={"key": KETTLE, "out": ""})
    assert Page(kitchen.get(HERE)).all(".kit-row.left-out") == []


def test_the_reserve_changes_every_amount(kitchen):
    kitchen.post(f"{HERE}/reserve", data={"reserve": "50", "spare": "0"})
    assert "Lemon juice 60 ml" in Page(kitchen.get(HERE)).texts("form[data-tick] button")
    answer = kitchen.post(f"{HERE}/reserve", data={"reserve": "a lot", "spare": "0"})
    assert Page(answer).fault("reserve") == "Give a number."


@pytest.mark.parametrize(
    "data",
    [{"at": "party", "key": "x"}, {"at": "event", "key": ""}, {"at": "event", "key": "x" * 200}],
)
def test_a_tick_that_means_nothing_is_refused(kitchen, data):
    assert kitchen.post(f"{HERE}/ticks", data=data).status_code == 422
    assert kitchen.post("/routines/none/prepare/ticks", data=data | {"key": "x"}).status_code == 404


def test_what_is_prepared_does_not_part_the_runs_of_a_plan(kitchen):
    before = keep_run(kitchen, ROUTINE)
    kitchen.post(f"{HERE}/things/new", data={"name": "Tweezers", "kind": "tool"})
    after = keep_run(kitchen, kept(kitchen))
    with kitchen.app.state.database.reading() as session:
        assert row_of(session, before).plan_key == row_of(session, after).plan_key


def test_a_group_counts_what_is_packed_and_a_phone_unfolds_the_first_with_something_open(kitchen):
    def groups():
        page = Page(kitchen.get(HERE))
        folded = [each.get("data-narrow-folded") is not None for each in page.all(".kit-group")]
        return list(
            zip(page.texts(".kit-group h2"), page.texts("[data-count]"), folded, strict=True)
        )

    assert groups()[0] == ("Ingredients", "0 of 1", False)
    assert all(folded for _, _, folded in groups()[1:])
    press(kitchen, "ingredient:lemon juice")
    assert groups()[0] == ("Ingredients", "1 of 1", True)
    assert [folded for _, _, folded in groups()].index(False) == 1


def test_two_things_that_are_as_short_keep_what_tells_them_apart(client):
    parts = (
        Ingredient("a", "Whisky, 40 %", Amount(40, "ml")),
        Ingredient("b", "Whisky, 46 %", Amount(20, "ml")),
        Ingredient("c", "Lemon juice, fresh", Amount(20, "ml")),
    )
    keep(client, make_routine(drinks=(Drink("d1", "Sour", 4, parts),)))
    for address in (HERE, "/routines/r1/shopping"):
        shown = Page(client.get(address)).text("main")
        assert "Whisky, 40 %" in shown
        assert "Whisky, 46 %" in shown
        assert "Lemon juice, fresh" not in shown


def test_nothing_is_packed_of_a_part_that_is_set_to_none(client):
    parts = (
        Ingredient("a", "Gin", Amount(40, "ml")),
        Ingredient("b", "White sugar", Amount(0, "g")),
    )
    keep(client, make_routine(drinks=(Drink("d1", "Sour", 4, parts),)))
    names = Page(client.get(HERE)).texts(".kit-name")
    assert "Gin" in names
    assert "White sugar" not in names
