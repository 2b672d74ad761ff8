"""What the hands do, where the ledger of claims tells that it is wrong."""

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine, make_segment
from tests.web.html import Page, text_of
from tests.web.shelf import keep

LEMON = Ingredient("l", "Lemon juice", Amount(40, "ml"))


def test_a_wrong_amount_of_the_hands_stands_in_the_ledger_and_is_nothing_to_say(client):
    segment = make_segment("s1", hands="Measure 30 ml of lemon juice.", drink_id="d")
    keep(client, make_routine(segments=(segment,), drinks=(Drink("d", "Dusk", 1, (LEMON,)),)))
    page = Page(client.get("/routines/r1/claims"))
    (line,) = page.all(".claim")
    assert "In what the hands do, “Measure 30 ml of lemon juice.”" in text_of(line)
    opened = Page(client.get(f"/routines/r1/claims?open={line.get('id')}"))
    assert "the recipe has 40 ml" in opened.text("main")
    assert "you say" not in Page(client.get("/routines/r1/drinks")).text("main").lower()
