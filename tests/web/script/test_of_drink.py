"""Of which drink a segment is: asked beside the ledger where claims do not tell it."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, kept

CLAIMS = "/routines/r1/claims"
DUSK = Drink("d1", "Dusk", ingredients=(Ingredient("rum", "Plum rum", Amount(45, "ml")),))
DAWN = Drink("d2", "Dawn", ingredients=(Ingredient("tonic", "Tonic", Amount(90, "ml")),))
TALK = (
    ("s1", "Good evening. You are welcome."),
    ("s2", "My first drink is served at once."),
    ("s3", "It tastes of smoke."),
    ("s4", "Dawn tastes of almond. You will find saffron in it."),
    ("s5", "You will find vanilla."),
)


def talk(drinks, **of):
    segments = (make_segment(key, said=said, drink_id=of.get(key)) for key, said in TALK)
    return make_routine(segments=tuple(segments), drinks=drinks)


@pytest.fixture
def path(client):
    return keep(client, talk((DUSK, DAWN)))


def form(client):
    page = Page(client.get(f"{CLAIMS}?open=drinks"))
    return page.one(".panel form"), {
        each.get("name"): each.cssselect("option[selected]")[0].get("value")
        for each in page.all(".panel select")
    }


def test_each_segment_goes_on_with_the_drink_that_was_named_or_counted_last(client, path):
    assert "3 segments with claims of no drink" in Page(client.get(CLAIMS)).text(".notice")
    assert form(client)[1] == {"drink-s3": "d1", "drink-s4": "d2", "drink-s5": "d2"}


def test_they_are_set_at_one_touch_and_taken_back_at_another(client, path):
    sent, values = form(client)
    answer = client.post(sent.get("action"), data=values)
    assert (answer.status_code, answer.headers["location"]) == (303, CLAIMS)
    assert [each.drink_id for each in kept(client).segments] == [None, None, "d1", "d2", "d2"]
    assert not Page(client.get(CLAIMS)).all("#drinks")
    client.post(f"{path}/undo", data={"back": "claims"})
    assert {each.drink_id for each in kept(client).segments} == {None}


def test_a_drink_that_is_gone_meanwhile_is_refused_beside_its_segment(client, path):
    sent, values = form(client)
    page = Page(client.post(sent.get("action"), data={**values, "drink-s4": "gone"}))
    assert page.status == 422
    assert "This drink is gone" in page.text(".panel")


@pytest.mark.parametrize("drinks", [(), (DUSK,)])
def test_with_one_drink_or_none_there_is_nothing_to_ask(client, drinks):
    keep(client, talk(drinks))
    assert not Page(client.get(CLAIMS)).all("#drinks")


def test_what_holds_whichever_drink_is_meant_is_not_asked(client):
    keep(client, talk((DUSK, DAWN), s3="d1", s4="d2", s5="d2"))
    assert not Page(client.get(CLAIMS)).all("#drinks")
