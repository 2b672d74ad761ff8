"""A touch on a figure opens what it was made of."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.figures import Content, Figure
from server.domain.glass.library import ingredient
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep

SPIRIT = Substance(
    "spirit", abv=Figure(43.0, source="label"), sugar=Content(0.0), temp_c=Figure(20.0)
)
GIN = Ingredient("i1", "Gin", Amount(45, "ml"), (), SPIRIT)
LEMON = Ingredient("i2", "Lemon", Amount(20, "ml"), (), ingredient("lemon-juice").substance)
MYSTERY = Ingredient("i3", "House liqueur", Amount(20, "ml"))
WHOLE = Drink("d1", "Tide", 1, (GIN, LEMON))
TIDE = Drink("d1", "Tide", 1, (GIN, LEMON, MYSTERY), steps=(Agitate("st", "stir"),))


def kept(client, drink):
    said = make_segment("s1", said="It has thirty percent alcohol.", drink_id="d1")
    return keep(client, make_routine(drinks=(drink,), segments=(said,)))


@pytest.fixture
def path(client):
    return kept(client, TIDE)


def panel(client, path, name):
    return Page(client.get(f"{path}/drinks?open=origin-{name}.d1")).text(".panel")


def test_every_figure_of_the_page_opens_something(client, path):
    page = Page(client.get(f"{path}/drinks?open=figures"))
    links = [each.get("href") for each in page.all(".made-of")]
    assert len(links) > 8
    for link in links:
        assert Page(client.get(link)).all(".panel .origin-value b")


def test_a_strength_shows_its_formula_and_what_went_in(client, path):
    shown = panel(client, path, "abv_percent")
    assert "OIML R 22" in shown
    assert "45 ml Gin strength 43 % vol label" in shown
    assert "20 ml House liqueur strength not known left out" in shown
    assert "dilution 20 (12–30) % of the volume common practice, no source" in shown


def test_a_published_value_names_its_table(client, path):
    assert "Indian Food Composition Tables 2017" in panel(client, path, "acid_g_per_l")


def test_what_has_no_source_is_counted_and_marked(client, path):
    page = Page(client.get(f"{path}/drinks?open=origin-abv_percent.d1"))
    assert "without a source: measure those first" in page.text(".panel")
    assert len(page.all(".origin-inputs .is-unsure")) >= 2


@pytest.mark.parametrize("name", ["nonsense", "abv_additive_percent", ""])
def test_what_is_no_figure_opens_nothing(client, path, name):
    answer = client.get(f"{path}/drinks?open=origin-{name}.d1")
    assert answer.status_code == 200
    assert not Page(answer).all(".panel .origin")


def test_a_verdict_on_a_figure_leads_to_what_it_is_made_of(client):
    ledger = Page(client.get(f"{kept(client, WHOLE)}/claims"))
    opens = [each.get("href") for each in ledger.all("a") if "?open=claim" in each.get("href", "")]
    shown = [client.get(link).text for link in opens]
    assert any("/drinks?open=origin-abv_percent.d1" in text for text in shown)
