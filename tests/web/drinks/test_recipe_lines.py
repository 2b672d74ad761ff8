"""A recipe pasted as lines: looked through, corrected, added in one edit."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.library import entry_named
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine
from tests.web.html import Page
from tests.web.shelf import keep, kept

LINES = "/routines/r1/drinks/d1/lines"
OPEN = "/routines/r1/drinks?open=lines-d1"
PASTED = (
    "For 2:\n45 ml whisky 43 %\n20 g white sugar, 2 dashes bitters\nStir with ice.\n5 ml moonbeam"
)
ROUTINE = make_routine(
    drinks=(Drink("d1", "Tide", 4, (Ingredient("i1", "Gin", Amount(45, "ml")),)),)
)


@pytest.fixture
def path(client):
    return keep(client, ROUTINE)


def looked_through(client, text=PASTED):
    return Page(client.get(OPEN, params={"open": "lines-d1", "text": text}))


def amounts(client):
    return {part.name: part.amount.words for part in kept(client).drinks[0].ingredients}


def test_a_recipe_lines_is_shown_for_correction_and_counts_for_nothing_yet(client, path):
    page = looked_through(client)
    assert page.typed("for", LINES) == "2"
    assert [page.typed(f"amount-{n}", LINES) for n in range(4)] == [
        "45 ml",
        "20 g",
        "2 dashes",
        "5 ml",
    ]
    assert page.typed("abv-0", LINES) == "43"
    assert page.typed("library-1", LINES) == "White sugar"
    assert page.typed("library-3", LINES) == ""
    assert page.texts(".left-lines li") == ["Stir with ice."]
    assert kept(client) == ROUTINE


def test_the_lines_are_added_for_all_serves_in_one_edit_that_can_be_undone(client, path):
    form = looked_through(client).sent_by(LINES)
    assert client.post(LINES, data=form).status_code == 303
    # The recipe was for two, the drink is for four.
    assert amounts(client) == {
        "Gin": "45 ml", "whisky": "90 ml", "white sugar": "40 g", "bitters": "4 dashes",
        "moonbeam": "10 ml",
    }  # fmt: skip
    whisky = kept(client).drinks[0].ingredients[1].substance
    assert (whisky.kind, whisky.abv.value) == ("spirit", 43)
    client.post(f"{path}/undo", data={"back": "drinks"})
    assert kept(client) == ROUTINE


def test_what_is_said_for_each_glass_is_counted_for_all_of_them(client, path):
    page = looked_through(client, "Harbour tea (for 2)\n2 cups black tea\n1 ice cube per glass")
    assert page.typed("for", LINES) == "2"
    assert [page.typed(f"amount-{n}", LINES) for n in range(2)] == ["2 cups", "2 cubes"]
    assert page.texts(".pasted-lines .hint") == [
        "Cups differ: say in ml how much that is.",
        "1 cube for each of 2.",
    ]


def test_a_recipe_that_does_not_say_for_how_many_it_is_asks(client, path):
    page = looked_through(client, "45 ml gin\n20 ml lime juice")
    assert "does not say" in page.text(".pasted-for .hint")
    assert not looked_through(client).all(".pasted-for .hint")


def test_lines_are_corrected_left_out_and_given_another_entry_of_the_library(client, path):
    form = looked_through(client).sent_by(LINES)
    form |= {"amount-0": "50 ml", "name-0": "House whisky", "library-0": "Rye whisky, 50 %"}
    for n in (1, 2, 3):
        form.pop(f"take-{n}")
    client.post(LINES, data=form | {"for": "4", "instead": "yes"})
    (only,) = kept(client).drinks[0].ingredients
    assert (only.name, only.amount) == ("House whisky", Amount(50, "ml"))
    assert only.substance.abv.value == 43


def test_what_each_part_gives_is_written_there_or_taken_from_the_entry_chosen(client, path):
    form = looked_through(client, "30 ml mead, gives honey, wax\n20 ml espresso").sent_by(LINES)
    assert form["gives-0"] == "honey, wax"
    client.post(LINES, data=form | {"library-1": "Rye whisky, 50 %", "instead": "yes"})
    first, second = kept(client).drinks[0].ingredients
    assert first.descriptors == ("honey", "wax")
    assert second.descriptors == entry_named("Rye whisky, 50 %").descriptors


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"gives-1": "x" * 200}, "gives-1", "“xxx"),
        ({"amount-1": "some"}, "amount-1", "Start with a number"),
        ({"amount-1": ""}, "amount-1", "Start with a number"),
        ({"name-2": ""}, "name-2", "Give it a name."),
        ({"library-0": "Stardust"}, "library-0", "The library does not hold this."),
        ({"abv-0": "140"}, "abv-0", "A strength lies between 0 and 100 % vol."),
        ({"abv-0": "strong"}, "abv-0", "Give a number, 40, or a range"),
        ({"for": "0"}, "for", "Give a number from 1 to 1000."),
    ],
)
def test_a_wrong_line_is_told_beside_its_field_and_nothing_is_lost(
    client, path, typed, field, told
):
    form = looked_through(client).sent_by(LINES) | typed
    page = Page(client.post(LINES, data=form))
    assert page.status == 422
    assert page.fault(field, LINES).startswith(told)
    assert {name: page.typed(name, LINES) for name in typed} == typed
    assert kept(client) == ROUTINE


def test_no_line_ticked_is_told(client, path):
    form = looked_through(client).sent_by(LINES)
    bare = {name: text for name, text in form.items() if not name.startswith("take-")}
    page = Page(client.post(LINES, data=bare))
    told = page.texts(".pasted > .fault")[0]
    assert (page.status, told) == (422, "▲ Tick the lines that are to be added.")


@pytest.mark.parametrize("text", ["Stir with ice.", "x" * 4001])
def test_a_text_that_cannot_be_read_stays_in_its_field(client, path, text):
    page = looked_through(client, text)
    assert page.typed("text") == text
    assert page.fault("text")


def test_amounts_shown_for_one_serve_are_read_for_one(client, path):
    page = Page(
        client.get(OPEN, params={"open": "lines-d1", "text": "45 ml gin", "amounts": "one"})
    )
    assert page.typed("for", LINES) == "1"
