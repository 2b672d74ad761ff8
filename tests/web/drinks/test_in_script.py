"""The drinks page beside what the script says of the drinks."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.own_words import OwnWord
from tests.factories import make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, kept

PART = "/routines/r1/drinks/d1/ingredients/i1"
LEMON = Ingredient("i1", "Lemon juice, fresh", Amount(40, "ml"), ("lemon", "rosehip"))
ROUTINE = make_routine(
    drinks=(Drink("d1", "The Tide", 1, (LEMON,), ("lemon", "rosehip")),),
    segments=(
        make_segment("s1", drink_id="d1", said="Thirty millilitres of lemon juice. It is lemon."),
        make_segment("s2", drink_id="d1"),
    ),
)


@pytest.fixture
def path(client):
    return keep(client, ROUTINE)


def drinks(client):
    return Page(client.get("/routines/r1/drinks"))


def test_what_contradicts_the_script_is_marked_on_its_row(client, path):
    page = drinks(client)
    assert page.text("#ingredient-i1.is-wrong em") == "you say 30 ml"
    assert page.text("h1") == "Lemon juice: you say 30 ml, Tide has 40"
    assert page.texts(".settle button") == ["Say 40 ml", "Make it 30 ml"]
    assert len(page.all(".lead-line.is-wanting")) == 1


@pytest.mark.parametrize(("cure", "amount"), [("say", 40), ("make", 30)])
def test_a_contradiction_is_settled_on_the_page_at_a_touch(client, path, cure, amount):
    answer = client.post(f"{PART}/cure", data={"cure": cure})
    assert answer.headers["location"].startswith("/routines/r1/drinks")
    assert kept(client).drinks[0].ingredients[0].amount == Amount(amount, "ml")
    assert drinks(client).all(".is-wrong") == []
    assert client.post(f"{PART}/cure", data={"cure": cure}).status_code == 404


def test_the_first_line_offers_what_today_and_the_claims_offer(client):
    part = Ingredient("i1", "Milk punch", Amount(120, "ml"))
    segments = (make_segment("s1", drink_id="d1", said="I take 60 ml of milk punch for each."),)
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 4, (part,)),), segments=segments))
    assert drinks(client).texts(".settle button") == ["Say 30 ml each", "Make it 60 ml each"]
    assert Page(client.get("/routines/r1/claims")).texts(".claim .cures button")[:2] == [
        "Say 30 ml", "Make it 60 ml",
    ]  # fmt: skip


def test_every_page_tells_the_amount_of_one_serve_where_one_serve_was_meant(client):
    part = Ingredient("i1", "Milk punch", Amount(120, "ml"))
    segments = (make_segment("s1", drink_id="d1", said="I take 25 ml of milk punch for each."),)
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 4, (part,)),), segments=segments))
    assert drinks(client).text("h1") == "Milk punch: you say 25 ml, Tide has 30 each"
    claims = Page(client.get("/routines/r1/claims"))
    assert "The recipe has 30 ml each" in claims.text(".claim")
    opened = Page(client.get(claims.all(".claim a")[0].get("href")))
    assert opened.texts(".measures .amount") == ["25 ml", "30 ml"]
    assert "recipe, each" in opened.text(".measures")
    told = "You say 25 ml of Milk punch, the recipe has 30 ml each."
    assert told in Page(client.get("/routines/r1")).texts(".steps b")


def test_a_word_on_the_card_that_is_never_said_stands_out(client, path):
    assert drinks(client).texts(".on-card .is-wanting") == ["rosehip is never said"]
    client.post(f"{PART}/cure", data={"cure": "make"})
    assert drinks(client).text("h1") == "Tide: “rosehip” is never said"


def test_where_all_fits_the_first_line_says_so(client, path):
    client.post(f"{PART}/cure", data={"cure": "make"})
    client.post(
        "/routines/r1/drinks/d1", data={"name": "Tide", "serves": "1", "descriptors": "lemon"}
    )
    page = drinks(client)
    assert page.text(".on-card").endswith("All given and said.")
    assert page.text("h1") == "1 part not fully known"
    assert page.texts(".drink-half .about")[0] == "1 serve · 1 part not fully known"


def test_parts_not_fully_known_are_counted_alike_above_the_drinks_in_each_and_on_today(client):
    bare = Ingredient("i1", "Frumble", Amount(20, "ml"))
    part_known = Ingredient("i2", "Tidal cordial", Amount(20, "ml"), (), Substance(abv=Figure(18)))
    whole = replace(bare, id="i3", name="Low cordial")
    drinks_ = (Drink("d1", "Tide", 1, (bare,)), Drink("d2", "Ebb", 1, (part_known, whole)))
    keep(client, make_routine(drinks=drinks_))
    page = drinks(client)
    assert page.text("h1") == "3 parts not fully known"
    told = [each.partition(" · ")[2] for each in page.texts(".half-head .about")]
    assert told == ["1 part not fully known", "2 parts not fully known"]
    assert "3 parts not fully known" in Page(client.get("/routines/r1")).text(".ready")


def test_a_word_nothing_gives_is_told_where_no_segment_names_its_drink(client):
    drink = Drink("d1", "Low Tide", 1, (LEMON,), ("lemon", "walnut"))
    segments = (make_segment("s1", said="It is lemon. You will find walnut."),)
    keep(client, make_routine(drinks=(drink, Drink("d2", "Ebb")), segments=segments))
    card = drinks(client).texts(".on-card")[0]
    assert "walnut (nothing gives it)" in card
    assert "All given" not in card


def test_without_words_nothing_is_called_unsaid(client):
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (LEMON,), ("rosehip",)),)))
    assert drinks(client).all(".on-card .is-wanting") == []


def test_a_word_on_the_card_that_is_no_known_flavour_is_marked_before_there_is_a_recipe(client):
    drink = Drink("d1", "Tide", 4, (), ("rosehip", "frumble", "grilled peach"))
    keep(client, make_routine(drinks=(drink,)))
    (marked,) = drinks(client).all(".on-card .is-wanting")
    assert marked.text_content() == "frumble is not known"
    assert "“frumble” is not known" in Page(client.get(marked.get("href"))).text("main")


@pytest.mark.parametrize("gives", [("frumble",), ()])
def test_a_word_that_a_part_gives_is_known_whatever_it_is(client, gives):
    part = Ingredient("i1", "Cordial" if gives else "Frumble cordial", Amount(40, "ml"), gives)
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (part,), ("frumble",)),)))
    assert drinks(client).all(".on-card .is-wanting") == []


@pytest.mark.parametrize("known", [{"language": "de"}, {"own_words": (OwnWord("frumble"),)}])
def test_a_word_of_another_language_or_of_ones_own_is_not_called_unknown(client, known):
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (), ("frumble",)),), **known))
    assert drinks(client).all(".on-card .is-wanting") == []


def test_what_is_not_known_of_one_part_opens_that_part(client):
    parts = (Ingredient("i1", "Water", Amount(40, "ml")), Ingredient("i2", "Brew", Amount(9, "ml")))
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, parts),)))
    (lacking,) = drinks(client).all(".half-head .about a")
    assert lacking.get("href").endswith("?edit=ingredient-i1")


def test_before_there_is_a_recipe_no_figures_are_offered(client):
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 1),)))
    assert drinks(client).texts(".further a") == ["Try a variant"]


@pytest.mark.parametrize(
    ("there", "told"),
    [((), "Write the first drink"), ((Drink("d1", "Tide", 1),), "Try a variant")],
)
def test_a_comparison_that_lacks_a_drink_leads_to_one(client, there, told):
    keep(client, make_routine(drinks=there))
    (way,) = Page(client.get("/routines/r1/drinks/compare")).all(".empty a")
    assert way.text_content().startswith(told)
    assert client.get(way.get("href")).status_code == 200
