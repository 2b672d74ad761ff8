"""Settling one claim after the other: what comes next, and what settles what nothing gives."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from server.web.script.settle import next_after
from tests.factories import make_routine, make_segment
from tests.table import table
from tests.web.html import Page
from tests.web.shelf import keep, kept

CLAIMS = "/routines/r1/claims"
RUM = Ingredient("rum", "Plum rum, 40 % vol", Amount(45, "ml"), ("plum",))
CREAM = Ingredient("cream", "Oat foam", Amount(15, "ml"))
TONIC = Ingredient("tonic", "Tonic", Amount(90, "ml"))
DUSK = Drink("d1", "Dusk", ingredients=(RUM, CREAM), descriptors=("plum",))
DAWN = Drink("d2", "Dawn", ingredients=(TONIC,))
SAID = "On the nose you will find plum. It tastes of smoke, of almond and of saffron."


@pytest.fixture
def path(client):
    segments = (make_segment("s1", said=SAID, drink_id="d1", name="Serve"),)
    return keep(client, make_routine(segments=segments, drinks=(DUSK, DAWN)))


def claims(client, query=""):
    return Page(client.get(f"{CLAIMS}{query}"))


def ids(page):
    """Label -> id of its line."""
    return {
        line.cssselect("b")[0].text_content().lower(): line.get("id") for line in page.all(".claim")
    }


def beside(client, label, query="?"):
    """The page with that claim open beside the list."""
    return claims(client, f"{query}open={ids(claims(client))[label]}")


def press(client, page, label, selector=".panel form"):
    """Post the form whose button is called so; returns the address that it leads to."""
    (form,) = [
        each
        for each in page.all(selector)
        if [button.get("aria-label") for button in each.cssselect("button")] == [label]
    ]
    typed = {each.get("name"): each.get("value") for each in form.cssselect("input")}
    answer = client.post(form.get("action"), data=typed)
    assert answer.status_code == 303
    return answer.headers["location"]


def test_what_nothing_gives_is_given_by_a_part_of_its_drink_at_one_touch(client, path):
    page = beside(client, "smoke")
    givers = [each.text_content() for each in page.all(".givers button")]
    assert givers == ["Plum rum, 40 % vol", "Oat foam"]
    press(client, page, "Given by Oat foam")
    assert kept(client).drinks[0].ingredients[1].descriptors == ("smoke",)
    client.post(f"{path}/undo", data={"back": "claims"})
    assert kept(client).drinks[0].ingredients[1] == CREAM


def test_of_no_drink_in_particular_the_parts_of_all_are_offered_with_their_drink(client):
    segment = make_segment("s1", said=SAID)
    keep(client, make_routine(segments=(segment,), drinks=(DUSK, DAWN)))
    givers = [each.text_content() for each in beside(client, "smoke").all(".givers button")]
    assert givers == ["Plum rum, 40 % vol (Dusk)", "Oat foam (Dusk)", "Tonic (Dawn)"]


def test_what_settles_nothing_is_not_offered_first(client, path):
    said = [each.text_content() for each in beside(client, "smoke").all(".claim-ways button")]
    assert "Put on the card" not in said
    assert not beside(client, "plum").all(".givers")


def test_a_part_that_is_gone_meanwhile_is_answered_in_words(client, path):
    address = f"{CLAIMS}/rows/{ids(claims(client))['smoke']}/gives"
    assert client.post(address, data={"part": "gone"}).status_code == 404


def test_no_claim_is_said_of_a_word_at_one_touch(client, path):
    press(client, beside(client, "smoke"), "No claim: smoke")
    assert "smoke" not in ids(claims(client))


def test_answered_beside_the_list_the_next_claim_opens_there(client, path):
    at = ids(claims(client))
    address = press(client, beside(client, "smoke"), "Given by Oat foam")
    assert address == f"{CLAIMS}?open={at['almond']}"
    address = press(client, beside(client, "saffron"), "No claim: saffron")
    # Smoke is given now, and not on the card: still to be settled, behind what nothing gives.
    assert address == f"{CLAIMS}?open={at['smoke']}"
    # Of that list it was the last one.
    assert "open=" not in press(client, beside(client, "plum"), "No claim: plum")


def test_answered_on_its_line_the_next_line_comes_under_the_hand(client):
    fig = Ingredient("fig", "Fig syrup", Amount(15, "ml"), ("fig", "almond"))
    drink = Drink("d1", "Dusk", ingredients=(RUM, fig), descriptors=("plum",))
    segment = make_segment("s1", said="You will find plum, fig and almond.", drink_id="d1")
    keep(client, make_routine(segments=(segment,), drinks=(drink,)))
    page = claims(client)
    address = press(client, page, "Put it on the card: fig", ".claim form")
    assert address == f"{CLAIMS}?next={ids(page)['almond']}"


def test_a_narrowed_list_stays_narrowed_after_an_answer(client, path):
    page = beside(client, "smoke", "?show=settle&drink=d1&")
    address = press(client, page, "No claim: smoke")
    assert address.startswith(f"{CLAIMS}?show=settle&drink=d1&open=")
    answer = client.post(f"{CLAIMS}/tolerance?kind=descriptor", data={"amount_percent": "x"})
    assert Page(answer).text(".narrow-menu summary") == "Narrowed"


LISTED = {"a": "settle", "b": "settle", "c": "settle", "p": "perhaps", "q": "perhaps"}


@table(
    "answered, left, stays, comes",
    [
        ("a", {"b": "settle", "c": "settle"}, False, "b"),
        ("c", {"a": "settle", "b": "settle"}, False, "b"),
        ("a", {"a": "hold", "b": "hold", "c": "settle"}, True, "c"),
        ("p", {"a": "settle", "q": "perhaps"}, True, "q"),
        ("p", {"p": "settle", "q": "perhaps"}, True, "p"),
        ("p", {"p": "settle", "q": "perhaps"}, False, "q"),
        ("q", {"a": "settle"}, True, ""),
        ("gone", LISTED, True, ""),
        ("", LISTED, True, ""),
    ],
)
def test_what_comes_next_is_of_the_same_list_and_the_nearest(answered, left, stays, comes):
    assert next_after(answered, LISTED, left, stays=stays) == comes
